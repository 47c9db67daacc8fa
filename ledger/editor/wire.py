"""The wire: cuts what an editor sends into messages, and finds the next one after something wrong
(Language Server Protocol 3.17, Base Protocol).

A wrong length shows by what follows: a message is one JSON object, which ends with its last brace,
and it cannot hold a line of a header.
"""

from __future__ import annotations

import asyncio
import json
import re
import threading
from contextlib import suppress
from typing import Any, BinaryIO, NamedTuple

from pygls.io_ import StdoutWriter

MOST = 100_000_000
"""The most bytes of a message; a larger length is wrong."""
_LONGEST_HEADER = 8192
"""The most bytes of a header."""
_LONGEST = 64
"""The most bytes of a line with a length."""
_CHUNK = 1 << 16
_PAUSE = 0.25
"""Seconds without a byte, after which to look whether a message is complete."""

# No text inside a message can match: JSON escapes line ends.
_HEADER_LINE = re.compile(rb"content-length[ \t]*:[ \t]*[0-9]+[ \t]*\r?\n", re.IGNORECASE)
_LENGTH_LINE = re.compile(
    rb"^content-length[ \t]*:[ \t]*(.*?)[ \t]*\r?$", re.IGNORECASE | re.MULTILINE
)
_END_OF_HEADER = re.compile(rb"\r?\n\r?\n")
_BLANKS = b" \t\r\n"


class Sent(NamedTuple):
    """What an editor sent: the value of a message, or why there is none."""

    value: Any = None
    fault: str | None = None


class Answers(StdoutWriter):
    """Writes to an editor for as long as it listens."""

    is_taken = True
    """False once the editor has closed its end."""

    def write(self, data: bytes) -> None:
        """Send some bytes."""
        try:
            super().write(data)
        except (OSError, ValueError):
            self.is_taken = False
            # Else what is left in its buffer would be written again when the process ends.
            self.close()

    def close(self) -> None:
        """Send no more."""
        with suppress(OSError, ValueError):
            super().close()  # type: ignore[no-untyped-call]


class WireEnd(Exception):
    """The editor sends no more."""

    def __init__(self, inside: bool) -> None:
        super().__init__()
        self.inside = inside
        """True if a message had begun."""


class Wire:
    """Reads messages from a stream, one after the other."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self._buffer = b""
        self._lost = self._cut = False
        self._coming: asyncio.Future[bytes] | None = None
        self._wanted = threading.Semaphore(0)
        self._loop: asyncio.AbstractEventLoop | None = None

    async def next(self) -> Sent:
        """The next message, or the next fault. Raises WireEnd."""
        if self._lost:
            await self._find_header()
        header = await self._header()
        if header is None:
            return self._fault("a head without an end")
        lengths = {found.strip() for found in _LENGTH_LINE.findall(header)}
        if len(lengths) != 1:
            next_header = _HEADER_LINE.search(header + b"\n") if not lengths else None
            if next_header is not None:
                # The header begins after something that is no line of a header.
                self._buffer = header[next_header.start() :] + b"\r\n\r\n" + self._buffer
            what = "no Content-Length" if not lengths else "more than one Content-Length"
            return self._fault(f"a head with {what}")
        length = lengths.pop().decode("latin-1")
        if not (
            length.isascii() and length.isdigit() and len(length) < 20 and 0 < int(length) <= MOST
        ):
            return self._fault(f"a Content-Length of `{length[:40]}`")
        return self._message_in(await self._body(int(length)))

    def _fault(self, what: str) -> Sent:
        self._lost = True
        return Sent(fault=f"{what} is none; what follows is skipped up to the next head")

    async def _find_header(self) -> None:
        """Skip all up to the next header."""
        while (found := _HEADER_LINE.search(self._buffer)) is None:
            # The start of a header may have come.
            self._buffer = self._buffer[-_LONGEST:]
            await self._more(inside=False)
        self._buffer, self._lost = self._buffer[found.start() :], False

    async def _header(self) -> bytes | None:
        """The next header; None if it does not end."""
        while True:
            self._buffer = self._buffer.lstrip(b"\r\n")
            found = _END_OF_HEADER.search(self._buffer)
            if found is not None and found.start() <= _LONGEST_HEADER:
                header, self._buffer = self._buffer[: found.start()], self._buffer[found.end() :]
                return header
            if len(self._buffer) > _LONGEST_HEADER:
                self._buffer = self._buffer[1:]
                return None
            await self._more(inside=bool(self._buffer))

    async def _body(self, length: int) -> bytes:
        """The bytes of a message; fewer if it is complete before its length is reached."""
        parts, have = [self._buffer], len(self._buffer)
        while have < length:
            self._buffer = b""
            try:
                await self._more(inside=True, pause=_PAUSE)
            except TimeoutError:
                # The editor may have given too large a length, and wait for an answer.
                if _is_complete(b"".join(parts)):
                    break
                await self._more(inside=True)
            except WireEnd:
                if not _is_complete(b"".join(parts)):
                    raise
                self._cut = True
                break
            parts.append(self._buffer)
            have += len(self._buffer)
        data = b"".join(parts)
        self._buffer = data[length:]
        return data[:length]

    def _message_in(self, body: bytes) -> Sent:
        """The message in some bytes; what follows it there is read again."""
        found = _value(body)
        if found is not None:
            value, end = found
            rest = body[end:].lstrip(_BLANKS)
            if rest:
                self._buffer, self._lost = rest + self._buffer, True
            return Sent(value)
        next_header = _HEADER_LINE.search(body)
        # The bytes may end with the start of a header.
        begin = next_header.start() if next_header is not None else max(0, len(body) - _LONGEST)
        self._buffer = body[begin:] + self._buffer
        return self._fault("a message that is no JSON")

    async def _more(self, inside: bool, pause: float | None = None) -> None:
        """Take in some more bytes. Raises WireEnd, and TimeoutError after a pause."""
        if self._loop is None:
            self._loop = asyncio.get_running_loop()
            # A thread that waits for a silent editor must not hold up the end of the process.
            threading.Thread(target=self._read, args=[self._loop], daemon=True).start()
        if self._coming is None:
            self._coming = self._loop.create_future()
            self._wanted.release()
        done, _ = await asyncio.wait([self._coming], timeout=pause)
        if not done:
            raise TimeoutError
        chunk, self._coming = self._coming.result(), None
        if not chunk:
            raise WireEnd(inside or self._cut)
        self._buffer += chunk

    def _read(self, loop: asyncio.AbstractEventLoop) -> None:
        """Read a chunk each time one is wanted, up to the end."""
        # Around its buffer, whose lock this would still hold when the process ends.
        raw = getattr(self._stream, "raw", self._stream)
        chunk = b" "
        while chunk:
            self._wanted.acquire()
            try:
                chunk = raw.read(_CHUNK) or b""
            except (OSError, ValueError):
                chunk = b""
            coming = self._coming
            assert coming is not None
            # The server may have ended by now.
            with suppress(RuntimeError):
                loop.call_soon_threadsafe(coming.set_result, chunk)


def _is_complete(data: bytes) -> bool:
    """True if a message is complete, or the next has begun."""
    return _value(data) is not None or _HEADER_LINE.search(data) is not None


def _value(data: bytes) -> tuple[Any, int] | None:
    """The JSON value that some bytes begin with, and where it ends; None if there is none."""
    with suppress(ValueError, RecursionError):
        return json.loads(data.decode("utf-8")), len(data)
    # After a value there may be anything, even bytes that are no text.
    text = data.decode("utf-8", "surrogateescape")
    begin = len(text) - len(text.lstrip())
    with suppress(ValueError, RecursionError):
        value, end = json.JSONDecoder().raw_decode(text, begin)
        return value, len(text[:end].encode("utf-8"))
    return None

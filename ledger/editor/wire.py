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
_MOST_HEAD = 8192
"""The most bytes of a header."""
_LONGEST = 64
"""The most bytes of a line with a length."""
_CHUNK = 1 << 16
_PAUSE = 0.25
"""Seconds without a byte, after which to look whether a message is complete."""

# No text inside a message can match: JSON escapes line ends.
_HEAD = re.compile(rb"content-length[ \t]*:[ \t]*[0-9]+[ \t]*\r?\n", re.IGNORECASE)
_LENGTH = re.compile(rb"^content-length[ \t]*:[ \t]*(.*?)[ \t]*\r?$", re.IGNORECASE | re.MULTILINE)
_END_OF_HEAD = re.compile(rb"\r?\n\r?\n")
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
        self._held = b""
        self._lost = self._cut = False
        self._coming: asyncio.Future[bytes] | None = None
        self._wanted = threading.Semaphore(0)
        self._loop: asyncio.AbstractEventLoop | None = None

    async def next(self) -> Sent:
        """The next message, or the next fault. Raises WireEnd."""
        if self._lost:
            await self._find_head()
        head = await self._head()
        if head is None:
            return self._fault("a head without an end")
        lengths = {found.strip() for found in _LENGTH.findall(head)}
        if len(lengths) != 1:
            again = _HEAD.search(head + b"\n") if not lengths else None
            if again is not None:
                # The header begins after something that is no line of a header.
                self._held = head[again.start() :] + b"\r\n\r\n" + self._held
            what = "no Content-Length" if not lengths else "more than one Content-Length"
            return self._fault(f"a head with {what}")
        said = lengths.pop().decode("latin-1")
        if not (said.isascii() and said.isdigit() and len(said) < 20 and 0 < int(said) <= MOST):
            return self._fault(f"a Content-Length of `{said[:40]}`")
        return self._taken(await self._body(int(said)))

    def _fault(self, what: str) -> Sent:
        self._lost = True
        return Sent(fault=f"{what} is none; what follows is skipped up to the next head")

    async def _find_head(self) -> None:
        """Skip all up to the next header."""
        while (found := _HEAD.search(self._held)) is None:
            # The start of a header may have come.
            self._held = self._held[-_LONGEST:]
            await self._more(inside=False)
        self._held, self._lost = self._held[found.start() :], False

    async def _head(self) -> bytes | None:
        """The next header; None if it does not end."""
        while True:
            self._held = self._held.lstrip(b"\r\n")
            found = _END_OF_HEAD.search(self._held)
            if found is not None and found.start() <= _MOST_HEAD:
                head, self._held = self._held[: found.start()], self._held[found.end() :]
                return head
            if len(self._held) > _MOST_HEAD:
                self._held = self._held[1:]
                return None
            await self._more(inside=bool(self._held))

    async def _body(self, length: int) -> bytes:
        """The bytes of a message; fewer if it is complete before its length is reached."""
        parts, have = [self._held], len(self._held)
        while have < length:
            self._held = b""
            try:
                await self._more(inside=True, pause=_PAUSE)
            except TimeoutError:
                # The editor may have given too large a length, and wait for an answer.
                if _is_over(b"".join(parts)):
                    break
                await self._more(inside=True)
            except WireEnd:
                if not _is_over(b"".join(parts)):
                    raise
                self._cut = True
                break
            parts.append(self._held)
            have += len(self._held)
        data = b"".join(parts)
        self._held = data[length:]
        return data[:length]

    def _taken(self, body: bytes) -> Sent:
        """The message in some bytes; what follows it there is read again."""
        found = _value(body)
        if found is not None:
            value, end = found
            rest = body[end:].lstrip(_BLANKS)
            if rest:
                self._held, self._lost = rest + self._held, True
            return Sent(value)
        again = _HEAD.search(body)
        # The bytes may end with the start of a header.
        begin = again.start() if again is not None else max(0, len(body) - _LONGEST)
        self._held = body[begin:] + self._held
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
        self._held += chunk

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


def _is_over(data: bytes) -> bool:
    """True if a message is complete, or the next has begun."""
    return _value(data) is not None or _HEAD.search(data) is not None


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

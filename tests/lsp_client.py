"""A client of the language server: plain JSON-RPC over the two ends of a wire."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from collections import deque
from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Any, BinaryIO, Protocol, cast

from ledger.editor.server import server

ROOT = Path(__file__).parents[1]
PATIENCE = 30.0
"""Seconds after which an answer that does not come is a failure."""

Message = dict[str, Any]

CAPABILITIES: Message = {
    "workspace": {
        "workspaceEdit": {"documentChanges": True, "resourceOperations": ["create"]},
        "didChangeWatchedFiles": {"dynamicRegistration": True},
    },
    "textDocument": {"publishDiagnostics": {"relatedInformation": True, "versionSupport": True}},
}


class Server(Protocol):
    """A language server and the two ends of its wire."""

    reader: BinaryIO
    writer: BinaryIO

    def ended(self) -> int:
        """Wait for the end of it: the code it ends with."""

    def stop(self) -> None:
        """Let go of it, whatever it does."""


class InThread:
    """The server in a thread of its own: what it runs through is seen by the tests."""

    def __init__(self, on: str) -> None:
        day = date.fromisoformat(on)
        (theirs, to_it), (from_it, its) = os.pipe(), os.pipe()
        self.reader: BinaryIO = os.fdopen(from_it, "rb")
        self.writer: BinaryIO = os.fdopen(to_it, "wb")
        self._made = server(lambda _household: day, "0", lambda _sources: [])
        streams = os.fdopen(theirs, "rb"), os.fdopen(its, "wb")
        self._thread = threading.Thread(target=self._serve, args=streams, daemon=True)
        self._thread.start()

    def _serve(self, stdin: BinaryIO, stdout: BinaryIO) -> None:
        self._made.start_io(stdin, stdout)
        with suppress(OSError, ValueError):
            stdout.close()

    def ended(self) -> int:
        self._thread.join(PATIENCE)
        assert not self._thread.is_alive(), "the server does not end"
        return self._made.exit_code

    def stop(self) -> None:
        for stream in (self.writer, self.reader):
            with suppress(OSError, ValueError):
                stream.close()


class InProcess:
    """The server as an editor starts it."""

    def __init__(self, on: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "ledger", "language-server", "--on", on],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        self.reader = cast(BinaryIO, self.process.stdout)
        self.writer = cast(BinaryIO, self.process.stdin)

    def ended(self) -> int:
        return self.process.wait(PATIENCE)

    def stop(self) -> None:
        self.process.kill()
        self.process.wait()


class Client:
    """One editor, as far as the server can tell."""

    def __init__(
        self,
        folder: Path | None,
        on: str = "2026-11-25",
        start: Callable[[str], Server] = InThread,
        capabilities: Mapping[str, Any] = CAPABILITIES,
    ) -> None:
        self.server = start(on)
        self._last_id = 0
        self._arrived: deque[Message] = deque()
        self._news = threading.Condition()
        self._ended = False
        self.diagnostics: dict[str, Message] = {}
        """The latest published of each text, by its URI."""
        self.asked: list[Message] = []
        """What the server asked of the editor."""
        threading.Thread(target=self._listen, daemon=True).start()
        self.answer = self.request(
            "initialize",
            {
                "processId": os.getpid(),
                "rootUri": None,
                "capabilities": capabilities,
                "workspaceFolders": [{"uri": folder.as_uri(), "name": "home"}] if folder else None,
            },
        )
        self.notify("initialized", {})

    def __enter__(self) -> Client:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        value: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if kind is None:
            self.request("shutdown", None)
            self.notify("exit", None)
            assert self.server.ended() == 0
        self.server.stop()

    # -------------------------------------------------------------- the wire

    def send(self, body: bytes, head: bytes | None = None) -> None:
        """Send bytes as one message, under another head where one is given."""
        start = f"Content-Length: {len(body)}\r\n\r\n".encode() if head is None else head
        self.server.writer.write(start + body)
        self.server.writer.flush()

    def notify(self, method: str, params: Any) -> None:
        """Tell the server something."""
        self._say({"method": method, "params": params})

    def request(self, method: str, params: Any) -> Any:
        """Ask the server something: its result. Raises AssertionError with an error's message."""
        answer = self.ask(method, params)
        assert "error" not in answer, answer["error"]["message"]
        return answer["result"]

    def refused(self, method: str, params: Any) -> str:
        """Ask the server something that it refuses: what it says."""
        return str(self.ask(method, params)["error"]["message"])

    def ask(self, method: str, params: Any) -> Message:
        """Ask the server something: its whole answer."""
        self._last_id += 1
        number = self._last_id
        self._say({"id": number, "method": method, "params": params})
        return self.wait(lambda message: message.get("id") == number and "method" not in message)

    def _say(self, message: Message) -> None:
        self.send(json.dumps({"jsonrpc": "2.0", **message}).encode())

    def wait(self, wanted: Callable[[Message], bool]) -> Message:
        """The first message that has come, or will come, of the kind that is wanted."""
        with self._news:
            while True:
                for message in self._arrived:
                    if wanted(message):
                        self._arrived.remove(message)
                        return message
                assert not self._ended, "the server ended"
                assert self._news.wait(PATIENCE), "the server did not answer"

    def _listen(self) -> None:
        stream = self.server.reader
        while head := stream.readline():
            length = 0
            while head.strip():
                name, _, value = head.partition(b":")
                length = int(value) if name.lower() == b"content-length" else length
                head = stream.readline()
            self._take(json.loads(stream.read(length)))
        with self._news:
            self._ended = True
            self._news.notify_all()

    def _take(self, message: Message) -> None:
        if "method" in message and "id" in message:
            self.asked.append(message)
            # An editor that has gone answers nothing more.
            with suppress(OSError, ValueError):
                self._say({"id": message["id"], "result": None})
        with self._news:
            if message.get("method") == "textDocument/publishDiagnostics":
                self.diagnostics[message["params"]["uri"]] = message["params"]
            self._arrived.append(message)
            self._news.notify_all()

    # -------------------------------------------------------------- texts

    def open(self, path: Path, text: str | None = None) -> list[Message]:
        """Open a text: what is found in it."""
        content = path.read_bytes().decode("utf-8") if text is None else text
        item = {"uri": path.as_uri(), "languageId": "chores", "version": 1, "text": content}
        self.notify("textDocument/didOpen", {"textDocument": item})
        return self.found(path, 1)

    def change(self, path: Path, version: int, *changes: Mapping[str, Any]) -> None:
        """Type in a text."""
        identity = {"uri": path.as_uri(), "version": version}
        content = {"textDocument": identity, "contentChanges": list(changes)}
        self.notify("textDocument/didChange", content)

    def retype(self, path: Path, version: int, text: str) -> list[Message]:
        """Put another text in the place of one: what is found in it."""
        self.change(path, version, {"text": text})
        return self.found(path, version)

    def found(self, path: Path, version: int) -> list[Message]:
        """What is found in a version of a text, as soon as the server says so."""
        uri = path.as_uri()

        def tells(message: Message) -> bool:
            if message.get("method") != "textDocument/publishDiagnostics":
                return False
            params = message["params"]
            return params["uri"] == uri and (params.get("version") or 0) >= version

        found: list[Message] = self.wait(tells)["params"]["diagnostics"]
        return found

    def at(self, method: str, path: Path, line: int, character: int, **more: Any) -> Any:
        """Ask about a position of a text."""
        return self.request(f"textDocument/{method}", position(path, line, character, **more))


def position(path: Path, line: int, character: int, **more: Any) -> Message:
    """What a question about a position says."""
    where = {"line": line, "character": character}
    return {"textDocument": {"uri": path.as_uri()}, "position": where, **more}


def applied(text: str, edits: list[Message]) -> str:
    """A text after edits that the server asked for, by the rules of the protocol.

    Reckoned in UTF-16 bytes, not as the server does it.
    """
    data = text.encode("utf-16-le")
    ends = [0]
    at = 0
    while at < len(data):
        unit, after = data[at : at + 2], data[at + 2 : at + 4]
        at += 2
        if unit == b"\n\0" or (unit == b"\r\0" and after != b"\n\0"):
            ends.append(at)

    def offset(where: Message) -> int:
        if where["line"] >= len(ends):
            return len(data)
        return ends[where["line"]] + 2 * int(where["character"])

    spans = [
        (offset(edit["range"]["start"]), offset(edit["range"]["end"]), edit["newText"])
        for edit in edits
    ]
    for start, end, new in sorted(spans, reverse=True):
        data = data[:start] + new.encode("utf-16-le") + data[end:]
    return data.decode("utf-16-le")

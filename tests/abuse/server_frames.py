"""Frames and messages that are none, sent to the language server: does it go on?

    python tests/abuse/server_frames.py [--count 2000] [--seed 1]

Each of the frames is followed by a sound question, which has to be answered within some seconds;
a frame that is sound and holds a request has to be answered too, with a result or an error. It
prints how many were answered, how many were refused, how often the server ended (with a plain
message and code 1, after which another one is begun) and how often it hung.
"""

import argparse
import json
import os
import queue
import random
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from contextlib import suppress
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
INTERNAL = -32603
"""What JSON-RPC 2.0 calls an error of the server itself."""
PATIENCE = 10.0
"""Seconds in which an answer has to come."""
BOOK = 'area kitchen\n\nevery day "Blue tin"\n    oven  40 min  in kitchen\n2026-11-20 did oven\n'
METHODS = (
    "completion", "hover", "definition", "references", "prepareRename", "rename", "documentSymbol",
    "foldingRange", "formatting", "rangeFormatting", "codeAction", "semanticTokens/full",
    "semanticTokens/range", "inlayHint", "noSuchThing",
)  # fmt: skip
TOLD = ("didOpen", "didChange", "didClose", "didSave")
ODD: tuple[Any, ...] = (
    None, True, -1, 0, 3.5, 2**31, 2**63, 10**400, "", "x", "\ud800", "file:///", "file://%zz/a",
    "file:///nowhere.chores", "file:///a%00b.chores", "untitled:1", "::::", [], [[]], {}, {"a": 1},
)  # fmt: skip
Message = dict[str, Any]


class Talk:
    """A server, and what it has answered."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.process = subprocess.Popen(
            [sys.executable, "-m", "ledger", "language-server", "--on", "2026-11-25"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        self.said: list[bytes] = []
        self.errors = 0
        self.broke: list[str] = []
        """What is said of errors that the server did not see coming."""
        self._answers: queue.Queue[Message | None] = queue.Queue()
        self._known: dict[Any, Message] = {}
        for listen in (self._listen, self._overhear):
            threading.Thread(target=listen, daemon=True).start()
        self._last = 1_000_000
        params: Message = {"processId": None, "rootUri": folder.as_uri(), "capabilities": {}}
        assert self.asked("initialize", params) is not None
        self.send(framed({"jsonrpc": "2.0", "method": "initialized", "params": {}}))

    def send(self, data: bytes) -> None:
        """Send some bytes; a server that has ended takes none."""
        assert self.process.stdin is not None
        with suppress(OSError):
            self.process.stdin.write(data)
            self.process.stdin.flush()

    def asked(self, method: str, params: Any) -> Message | None:
        """The answer to a sound question; None where none comes in time."""
        self._last += 1
        question = {"jsonrpc": "2.0", "id": self._last, "method": method, "params": params}
        self.send(framed(question))
        return self.answer(self._last)

    def answer(self, number: int) -> Message | None:
        """The answer of a number; None where none comes in time, or the server has ended."""
        until = time.monotonic() + PATIENCE
        while number not in self._known:
            try:
                message = self._answers.get(timeout=max(0.0, until - time.monotonic()))
            except queue.Empty:
                return None
            if message is None:
                return None
            if "error" in message:
                self.errors += 1
                if message["error"]["code"] == INTERNAL:
                    self.broke.append(message["error"]["message"])
            self._known[message["id"]] = message
        return self._known.pop(number)

    def goes_on(self) -> bool:
        """True where the server answers a sound question."""
        uri = (self.folder / "home.chores").as_uri()
        where = {"textDocument": {"uri": uri}, "position": {"line": 0, "character": 6}}
        return self.asked("textDocument/hover", where) is not None

    def end(self) -> tuple[int, bytes]:
        """The code it ends with, and what it wrote on standard error."""
        assert self.process.stdin is not None
        with suppress(OSError):
            self.process.stdin.close()
        try:
            code = self.process.wait(PATIENCE)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
            code = -1
        return code, b"".join(self.said)

    def _listen(self) -> None:
        assert self.process.stdout is not None
        stream = self.process.stdout
        while head := stream.readline():
            length = 0
            while head.strip():
                name, _, value = head.partition(b":")
                length = int(value) if name.lower() == b"content-length" else length
                head = stream.readline()
            message = json.loads(stream.read(length))
            if "method" not in message:
                self._answers.put(message)
        self._answers.put(None)

    def _overhear(self) -> None:
        assert self.process.stderr is not None
        self.said.extend(self.process.stderr)


def framed(message: Any, length: int | None = None) -> bytes:
    """A message as it is sent, under its length or another."""
    body = json.dumps(message).encode()
    size = len(body) if length is None else length
    return f"Content-Length: {size}\r\n\r\n".encode() + body


def question(chance: random.Random, folder: Path, number: int) -> Message:
    """A request or a notification, sound but for some odd parts."""
    uri = (folder / chance.choice(("home.chores", "other.chores"))).as_uri()
    where = {"line": chance.randrange(6), "character": chance.randrange(20)}
    span = {"start": where, "end": {"line": 9, "character": 0}}
    params: Message = {
        "textDocument": {"uri": uri, "version": 2, "languageId": "chores", "text": BOOK},
        "position": where,
        "range": span,
        "newName": "stove",
        "context": {"diagnostics": [], "includeDeclaration": True, "triggerKind": 1},
        "options": {"tabSize": 4, "insertSpaces": True},
        "contentChanges": [{"range": span, "text": "x"}],
    }
    message: Message = {"jsonrpc": "2.0", "params": params}
    if chance.random() < 0.8:
        message |= {"id": number, "method": f"textDocument/{chance.choice(METHODS)}"}
    else:
        message["method"] = f"textDocument/{chance.choice(TOLD)}"
    for _ in range(chance.randrange(3)):
        spoil(chance, message)
    return message


def spoil(chance: random.Random, message: Message) -> None:
    """Put something odd in the place of a part of a message, or leave the part out."""
    parts: Any = message
    key: Any = chance.choice(["params", "params", "params", "jsonrpc", "method"])
    while isinstance(parts.get(key) if isinstance(parts, dict) else parts[key], (dict, list)):
        deeper = parts[key]
        if not deeper or chance.random() < 0.2:
            break
        parts = deeper
        key = chance.choice(list(parts)) if isinstance(parts, dict) else 0
    if isinstance(parts, dict) and chance.random() < 0.3:
        parts.pop(key, None)
    else:
        parts[key] = chance.choice(ODD)


def mangled(chance: random.Random, frame: bytes) -> bytes:
    """A frame that is none any more."""
    head, _, body = frame.partition(b"\r\n\r\n")
    size = len(body)
    wrong = chance.choice(
        (size + 1, size + 40, size + 5000, size - 1, size // 2, 1, 0, -5, 10 * 2**30, 10**30)
    )
    kind = chance.randrange(9)
    if kind < 3:
        head = b"Content-Length: %d" % wrong
    elif kind == 3:
        head = b"Content-Length: " + chance.choice(
            (b"x", b"", b"0x20", b"1e3", b"+5", b" ", b"\xff")
        )
    elif kind == 4:
        head = chance.choice((b"Content-Type: application/json", b"", b"Nothing", b"\0" * 9000))
    elif kind == 5:
        head = b"Content-Length: %d\r\nContent-Length: %d" % (size, chance.choice((size, wrong)))
    elif kind == 6:
        body = bytes(b for b in body if chance.random() > 0.02)
    elif kind == 7:
        at = chance.randrange(size)
        body = body[:at] + bytes([chance.randrange(256)]) + body[at + 1 :]
    else:
        return chance.randbytes(chance.randrange(1, 300))
    return head + b"\r\n\r\n" + body


def run(count: int, seed: int, folder: Path) -> tuple[Counter[str], list[str]]:
    """What became of so many frames, and what the server did that it should not."""
    chance, counts, wrongs = random.Random(seed), Counter[str](), list[str]()
    talk = Talk(folder)
    for number in range(1, count + 1):
        message = question(chance, folder, number)
        frame = framed(message)
        sound = chance.random() < 0.5
        frame = frame if sound else mangled(chance, frame)
        before = talk.errors
        talk.send(frame)
        if sound and message.get("id") == number and talk.answer(number) is None:
            wrongs.append(f"no answer to {message}")
        goes_on = talk.goes_on()
        counts["refused"] += talk.errors > before
        counts["answered"] += goes_on
        if not goes_on:
            counts["ended" if talk.process.poll() is not None else "hung"] += 1
            if talk.process.poll() is None:
                wrongs.append(f"hung after {frame[:200]!r}")
            wrongs += ended_wrongly(talk, 1)
            talk = Talk(folder)
    wrongs += ended_wrongly(talk, 0)
    return counts, wrongs


def ended_wrongly(talk: Talk, wanted: int) -> list[str]:
    """What is wrong with how a server ends."""
    code, said = talk.end()
    told = [f"broke: {what}" for what in talk.broke]
    told += [] if code == wanted else [f"ended with {code}, not {wanted}"]
    return told if b"Traceback" not in said else [*told, said.decode(errors="replace")]


def main() -> None:
    """Send and print."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else None)
    options.add_argument("--count", type=int, default=2000)
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / "home.chores").write_text(BOOK, "utf-8")
        counts, wrongs = run(given.count, given.seed, folder)
    told = ", ".join(f"{counts[kind]} {kind}" for kind in ("answered", "refused", "ended", "hung"))
    print(f"{given.count} frames: {told}")
    for wrong in wrongs[:20]:
        print(wrong[:2000])
    raise SystemExit(bool(wrongs))


if __name__ == "__main__":
    main()

"""A command in a child of its own, within bounds of time and memory; what came of it."""

from __future__ import annotations

import importlib
import io
import os
import pty
import re
import resource
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from pkgutil import walk_packages

import click

import ledger
from ledger.cli.main import main
from ledger.text.source import Source
from ledger.text.width import width
from ledger.workspace import read_sources

SLOW = 2.0
"""Seconds within which a command answers."""
HANGS = 20
"""Seconds after which a command is taken to wait for ever."""
MEMORY = 3 * 2**29
WRONG_CALL = 2
WIDTH = 80
"""Columns within which a wrong call is told what is wrong."""
BROKE = 70
"""The exit code of a child that an exception ended."""

# Written out here once more and not taken from `ledger`, which is what is looked at: Cc but tab
# and line feed; what turns the direction of text; line ends of some; bytes that are no text.
RAW = re.compile(
    "[\\x00-\\x08\\x0b-\\x1f\\x7f-\\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ud800-\udfff]"
)


@dataclass(frozen=True)
class Outcome:
    """What a call printed, how it ended and how long that took."""

    words: tuple[str, ...]
    code: int
    """The exit code; less than 0 for the signal that ended it."""
    out: bytes
    err: bytes
    seconds: float

    @property
    def faults(self) -> list[str]:
        """What is wrong with it, in the words of the count; nothing where all is well."""
        found = []
        if self.code == -signal.SIGALRM:
            found.append("hangs")
        elif b"MemoryError" in self.err:
            found.append("takes all memory")
        elif self.code not in (0, 1, 2):
            found.append("traceback" if self.code == BROKE else f"ends with {self.code}")
        if self.seconds > SLOW:
            found.append("slow")
        if any(self.raw):
            found.append("raw controls")
        if self.code == WRONG_CALL and self.widest > WIDTH:
            found.append("wide lines")
        return found

    @property
    def widest(self) -> int:
        """Columns of the widest line on standard error."""
        lines = self.err.decode("utf-8", "replace").splitlines()
        return max(map(width, lines), default=0)

    @property
    def raw(self) -> tuple[str, ...]:
        """Characters in the output that could upset a terminal."""
        text = (self.out + self.err).decode("utf-8", "surrogateescape")
        return tuple(RAW.findall(re.sub("\r+\n", "\n", text)))


def load_all() -> None:
    """Load what commands load late, so that a child starts with it all: whoever has no rights may
    not even reach the modules."""
    for package in (ledger, click):
        for module in walk_packages(package.__path__, f"{package.__name__}."):
            # Of Click's own, those for Windows are of no use here and cannot be loaded.
            if not module.name.endswith(("__main__", "_winconsole")):
                importlib.import_module(module.name)
    # The grammar, what says what is wrong with a line, and the libraries behind both.
    read_sources([Source("x", "every mondey\n  cups 5 min\n")])


def call(
    words: Sequence[str], folder: Path, given: bytes = b"", terminal: bool = False, user: int = 0
) -> Outcome:
    """Run a command in a folder, with a standard input; as another user where we may."""
    with tempfile.TemporaryFile() as given_file, tempfile.TemporaryFile() as err:
        given_file.write(given)
        given_file.seek(0)
        begun = time.monotonic()
        with _sink(terminal) as (reading, writing):
            child = os.fork()
            if not child:
                _run(words, folder, (given_file.fileno(), writing, err.fileno()), user)
            os.close(writing)
            out = b"".join(_parts(reading))
            _, status = os.waitpid(child, 0)
        seconds = time.monotonic() - begun
        err.seek(0)
        code = os.waitstatus_to_exitcode(status)
        return Outcome(tuple(words), code, out, err.read(), seconds)


@contextmanager
def _sink(terminal: bool) -> Iterator[tuple[int, int]]:
    reading, writing = pty.openpty() if terminal else os.pipe()
    try:
        yield reading, writing
    finally:
        os.close(reading)


def _parts(reading: int) -> Iterator[bytes]:
    while True:
        try:
            part = os.read(reading, 2**16)
        except OSError:
            # A terminal that nobody writes to any more.
            return
        if not part:
            return
        yield part


def _run(words: Sequence[str], folder: Path, streams: tuple[int, int, int], user: int) -> None:
    """What the child does; it never comes back."""
    code = BROKE
    try:
        signal.signal(signal.SIGALRM, signal.SIG_DFL)
        signal.alarm(HANGS)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        for number, stream in enumerate(streams):
            os.dup2(stream, number)
        sys.stdin, sys.stdout, sys.stderr = (
            io.TextIOWrapper(os.fdopen(number, mode), "utf-8", write_through=mode == "wb")
            for number, mode in enumerate(("rb", "wb", "wb"))
        )
        os.chdir(folder)
        if user and os.geteuid() == 0:
            os.seteuid(user)
        main(list(words), prog_name="besom")
        code = 0
    except SystemExit as end:
        code = end.code if isinstance(end.code, int) else 0
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)

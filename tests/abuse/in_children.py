"""A command over a book, run in a child of its own with a limit of time."""

from __future__ import annotations

import math
import os
import resource
import select
import signal
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from inputs import Versions, a_chore

COMMANDS = (
    "due",
    "week",
    "review",
    "ahead",
    "lighten",
    "areas",
    "chore",
    "lint",
    "lint --as json",
    "format --check",
    "compare",
    "merge",
)
UNDATED = ("format --check", "merge")
"""Commands that no day is asked of."""


class Run(NamedTuple):
    """How a command went."""

    seconds: float
    """Of the processor, so that other work on the machine says nothing here."""
    fault: str
    """What went wrong, empty where nothing did: an exception, or that time was up."""


def warm_up() -> None:
    """Import all that commands import, and read the grammar, so that no child pays for it."""
    with tempfile.TemporaryDirectory() as folder:
        versions = Versions("every day\n    x 5 min\n    y nonsense\n", "every day\n", "")
        for words in calls(Path(folder), versions, ("2026-11-25",), ()):
            run(words, 60)
            _called(words)


def calls(
    folder: Path, versions: Versions, days: Sequence[str], commands: Sequence[str]
) -> Iterator[list[str]]:
    """The words of each command over some versions, which are written into a folder."""
    paths = {name: folder / f"{name}.chores" for name in versions._fields}
    for name, text in versions._asdict().items():
        paths[name].write_bytes(text.encode("utf-8", "surrogateescape"))
    book, before, theirs = (str(path) for path in paths.values())
    for command in commands or COMMANDS:
        given = {
            "compare": [before, book],
            "merge": ["--print", before, book, theirs],
            "chore": [a_chore(versions.book), book],
        }.get(command, [book])
        for day in days[:1] if command in UNDATED else days:
            dated = [] if command in UNDATED else ["--on", day]
            yield [*command.split(), *given, *dated]


def run(words: Sequence[str], limit: float) -> Run:
    """Run `besom` with some words in a child; one that takes longer of the processor is ended."""
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        os.close(reading)
        seconds = math.ceil(limit)
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        fault = _called(words)
        os.write(writing, fault.encode("utf-8", "replace")[:4000])
        os._exit(0)
    os.close(writing)
    # One that waits for something would never use up its time.
    done, _, _ = select.select([reading], [], [], 20 * limit)
    fault = os.read(reading, 4096).decode("utf-8", "replace") if done else ""
    if not done:
        os.kill(child, signal.SIGKILL)
    os.close(reading)
    _, status, used = os.wait4(child, 0)
    if os.WIFSIGNALED(status):
        fault = "time is up"
    return Run(used.ru_utime + used.ru_stime, fault)


def _called(words: Sequence[str]) -> str:
    """The exception that a command ended with, if it was one that no command may end with."""
    from click.testing import CliRunner

    from ledger.cli.main import main

    result = CliRunner().invoke(main, list(words), prog_name="besom")
    if result.exception is None or isinstance(result.exception, SystemExit):
        return ""
    return f"{type(result.exception).__name__}: {result.exception}"

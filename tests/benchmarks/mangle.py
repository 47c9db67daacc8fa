"""Lint the example with its bytes flipped, cut or doubled, many times over.

    python tests/benchmarks/mangle.py [--runs 50000] [--seed 1]

Every run reads, lints, formats and lays out findings; any exception ends it with the book that
caused it. Run by hand: it takes minutes, and says how many runs found how many findings.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from datetime import date
from pathlib import Path

from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.render.findings_text import findings_text
from ledger.text.formatter import formatted
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.workspace import read_sources

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "quarry-lane"
RECORD_LINES = 60
TODAY = date(2026, 11, 25).toordinal()


def example() -> bytes:
    """The routine, and the last lines of the record: as much as many runs can afford."""
    record = (EXAMPLE / "2026.chores").read_bytes().splitlines(keepends=True)
    return (EXAMPLE / "home.chores").read_bytes() + b"\n" + b"".join(record[-RECORD_LINES:])


def mangled(book: bytes, chance: random.Random) -> bytes:
    """The book with one to eight of its stretches flipped, cut, doubled or swapped."""
    data = bytearray(book)
    for _ in range(chance.randint(1, 8)):
        start = chance.randrange(len(data))
        end = min(len(data), start + chance.choice((1, 1, 1, 2, 5, 20, 80)))
        match chance.randrange(4):
            case 0:
                data[start] ^= 1 << chance.randrange(8)
            case 1:
                del data[start:end]
            case 2:
                data[start:start] = data[start:end]
            case _:
                data[start:end] = data[start:end][::-1]
    return bytes(data)


def check(data: bytes) -> int:
    """How many findings a book has; raises where anything of ours breaks."""
    source = Source.decode("home.chores", data)
    workspace = read_sources([source])
    found = lint(LintedBook(workspace.trees, workspace.household.on(TODAY)), workspace.findings)
    findings_text(found, 1, len(source.lines)).encode("utf-8")
    formatted(Reader().read(source))
    return len(found)


def main() -> None:
    """Run as often as asked, and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=50_000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    chance, book, begun, total = random.Random(options.seed), example(), time.perf_counter(), 0
    for run in range(options.runs):
        data = mangled(book, chance)
        try:
            total += check(data)
        except Exception:
            Path("mangled.chores").write_bytes(data)
            print(f"run {run}: the book is in mangled.chores", file=sys.stderr)
            raise
    seconds = time.perf_counter() - begun
    print(f"{options.runs:,} books, {total:,} findings, no exception, {seconds:.0f} s")


if __name__ == "__main__":
    main()

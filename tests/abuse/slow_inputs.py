"""Small books that once took long, through every command, and how time grows with their size.

    python tests/abuse/slow_inputs.py [NAME]... [--command WORDS] [--limit 10] [--all]
    python tests/abuse/slow_inputs.py --random 1000 --seed 1

Each input is made at a quarter, a half and the whole of its size, and each command runs over it
in a child of its own. The table has the seconds of its processor, and the exponent of growth from
a half to the whole: 1 is as the size grows, 2 is as its square. It tells what took longer than
two seconds, or grew by more than n log n can, and ends with 1 where anything did. Run by hand:
it takes minutes.
"""

from __future__ import annotations

import argparse
import math
import sys
import tempfile
import time
from collections.abc import Iterable, Sequence
from pathlib import Path

from in_children import Run, calls, run, warm_up
from inputs import DAY, Input, load_all, thinned
from random_books import random_book

WANTED = 2.0
"""Seconds that a command may take on a book of 100 kB."""
STEEPEST = 1.3
"""The exponent that n log n and a busy machine may show between two sizes."""
TELLING = 0.4
"""Seconds below which the start of a child hides how the rest grows."""


def exponent(half: float, whole: float) -> float | None:
    """By which power of the size the time grew, where it is long enough to tell."""
    return math.log2(whole / half) if whole > TELLING and half > 0 else None


def is_bad(runs: Sequence[Run]) -> bool:
    """True for a command that failed, took too long, or grew too fast."""
    power = exponent(runs[-2].seconds, runs[-1].seconds)
    slow = runs[-1].seconds > WANTED or (power is not None and power > STEEPEST)
    return slow or any(one.fault for one in runs)


def measured(one: Input, commands: Sequence[str], limit: float) -> Iterable[tuple[str, list[Run]]]:
    """The runs of each command over an input, by size."""
    table: dict[str, list[Run]] = {}
    for n in (one.size // 4, one.size // 2, one.size):
        with tempfile.TemporaryDirectory() as folder:
            versions = one.versions(max(n, 2))
            for words in calls(Path(folder), versions, one.days, commands or one.commands):
                said = " ".join(part for part in words if "/" not in part)[:60]
                runs = table.setdefault(said, [])
                if not any(done.fault for done in runs):
                    runs.append(run(words, limit))
    return table.items()


def show(name: str, command: str, runs: Sequence[Run]) -> None:
    """One row of the table."""
    power = exponent(runs[-2].seconds, runs[-1].seconds) if len(runs) > 1 else None
    seconds = "".join(f"{one.seconds:8.2f}" for one in runs)
    fault = next((one.fault for one in runs if one.fault), "")
    growth = f"{power:6.2f}" if power is not None else "     -"
    print(f"{name:38} {command:45} {seconds:24} {growth}  {fault}", flush=True)


def inputs(names: Sequence[str], commands: Sequence[str], limit: float, tells_all: bool) -> int:
    """Run the inputs of some names, or all; how many rows were bad."""
    bad = rows = 0
    known = load_all()
    for name in names or known:
        for command, runs in measured(known[name], commands, limit):
            rows += 1
            wrong = len(runs) < 3 or is_bad(runs)
            bad += wrong
            if wrong or tells_all:
                show(name, command, runs)
    print(
        f"{len(names or known)} inputs, {rows} rows, {bad} of them too slow, too steep or at fault"
    )
    return bad


def random_ones(count: int, seed: int, limit: float) -> int:
    """Run every command over random books; how many runs were bad."""
    bad = runs = 0
    slowest, begun = 0.0, time.perf_counter()
    for number in range(seed, seed + count):
        with tempfile.TemporaryDirectory() as folder:
            versions = thinned(random_book(number))
            for words in calls(Path(folder), versions, (DAY,), ()):
                done = run(words, limit)
                runs += 1
                slowest = max(slowest, done.seconds)
                if done.fault or done.seconds > WANTED:
                    bad += 1
                    show(f"random book {number}", words[0], [done, done])
    taken = time.perf_counter() - begun
    print(
        f"{count} random books, {runs} runs, {bad} over {WANTED:.0f} s or at fault, slowest "
        f"{slowest:.2f} s, {taken:.0f} s in all"
    )
    return bad


def main() -> None:
    """Run what was asked for, and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", help="inputs to run; all where none is named")
    parser.add_argument("--command", action="append", default=[], help="run this only; repeatable")
    parser.add_argument("--limit", type=float, default=10.0, help="seconds until a run is ended")
    parser.add_argument("--all", action="store_true", help="show rows that are well too")
    parser.add_argument("--random", type=int, default=0, help="run so many random books instead")
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    warm_up()
    if options.random:
        bad = random_ones(options.random, options.seed, options.limit)
    else:
        bad = inputs(options.names, options.command, options.limit, options.all)
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()

"""Rounds that are killed while they write: what was said is in the record once, whatever happens.

    python tests/abuse/round_kills.py [--rounds 40] [--seed 0]

A round at a real terminal ticks a chore and times another. Then Enter is pressed, and the process
is killed at a random moment. The next round is gone on with, if it is offered. Run by hand: it
prints how many lines were there after the kill and what the next round said, and ends with 1 where
a line is missing or stands twice.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from rounds import BEGAN, BOOK
from terminals import Terminal, set_clock

LATEST = 0.25
"""Seconds after Enter within which a round is killed."""
EXPECTED = ["2026-03-04 did beds by noor", "2026-03-04 worked beds 2 min by tam"]


def record(home: Path) -> list[str]:
    """The lines of the record."""
    path = home / "2026.chores"
    return path.read_text("utf-8").splitlines() if path.exists() else []


def killed(home: Path, after: float) -> int:
    """Kill a round so many seconds after Enter; return how many of its lines are there."""
    terminal = Terminal(home, "round", BESOM_ME="noor")
    terminal.shows("Esc leave")
    terminal.press(" ", "\x1b[B", "t", then="5:00 left")
    set_clock(home, BEGAN + 120)
    terminal.press("t", then="stopped at 2 min")
    terminal.type("\r")
    time.sleep(after)
    terminal.kill(signal.SIGKILL)
    return len(record(home))


def gone_on_with(home: Path) -> str:
    """Go on with the round, if it is offered; return what the next one said."""
    terminal = Terminal(home, "round", BESOM_ME="noor")
    terminal.until(lambda one: any("[Y/n]" in line or "Esc l" in line for line in one.lines()))
    if any("[Y/n]" in line for line in terminal.lines()):
        terminal.press("\r", then="Esc leave")
        terminal.press("\r", then="2026.chores:")
        terminal.end()
        return "offered"
    terminal.press("\x1b", then="Nothing was written.")
    terminal.end()
    return "told that it was written" if b"was written, though" in terminal.output else "new"


def main() -> int:
    """Kill rounds, and look at the record after each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=40)
    parser.add_argument("--seed", type=int, default=0)
    given = parser.parse_args()
    drawn, seen, wrong = random.Random(given.seed), Counter[tuple[int, str]](), 0
    for _ in range(given.rounds):
        with tempfile.TemporaryDirectory() as folder:
            home = Path(folder) / "home"
            home.mkdir()
            os.environ["XDG_STATE_HOME"] = str(Path(folder) / "state")
            (home / "home.chores").write_text(BOOK, "utf-8")
            set_clock(home, BEGAN)
            there = killed(home, drawn.random() * LATEST)
            seen[there, gone_on_with(home)] += 1
            wrong += record(home) != EXPECTED
    for (there, said), count in sorted(seen.items()):
        print(f"{count} killed with {there} of 2 lines written, the next round {said}")
    print(f"{wrong} wrong")
    return min(wrong, 1)


if __name__ == "__main__":
    sys.exit(main())

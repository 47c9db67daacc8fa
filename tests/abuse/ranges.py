"""How many days and weeks of twenty simulated years lie in the range that was expected of them.

    python tests/abuse/ranges.py [HOMES]

It prints a row for each kind of days and size of list: of days and of weeks the part inside, over
so many homes. Near 50% is right. A total of one or two chores of a few minutes has so few values
that no range holds half of them; that shows in single homes. It takes some minutes.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import fmean

sys.path.insert(0, str(Path(__file__).parents[1]))
from simulated_minutes import covered, timed_home

KINDS = (("normal", 0.0), ("normal", 0.1), ("normal", 0.25), ("two", 0.15), ("bad", 0.15))


def main(homes: int) -> None:
    """Print the table."""
    print("days         list    of days    of weeks    single homes, of days")
    for kind, shared in KINDS:
        for size in (1, 2, 4, 8, 16):
            books = [timed_home(size, shared, seed, kind) for seed in range(homes)]
            days = [covered(book, 7) for book in books]
            weeks = [covered(book, 29, days=7) for book in books]
            row = f"{kind:6} {shared:5}{size:7}{fmean(days):10.1%}{fmean(weeks):12.1%}"
            print(f"{row}     {min(days):.0%} to {max(days):.0%}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 4)

"""How the time of a plan grows: ratios of the seconds for n, 2n and 4n.

    python tests/benchmarks/placing.py

Places pieces in a row of equal problems, with and without ties, where all fits and where it does
not; and plans books of n, 2n and 4n chores, and of as many years of record.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from functools import partial
from itertools import pairwise
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))
from households import span, write_household
from problems import in_a_row, large_problem

from ledger import load
from ledger.household.model import Household
from ledger.planning.place import place
from ledger.planning.plan import plan_of, rolled

RUNS = 5


def seconds(task: Callable[[], object]) -> float:
    """The median of the seconds of the processor that a task takes."""
    taken = []
    for _ in range(RUNS):
        start = time.process_time()
        task()
        taken.append(time.process_time() - start)
    return median(taken)


def told(label: str, times: list[float]) -> str:
    """A line of the table."""
    ratios = ", ".join(f"{more / less:.2f}" for less, more in pairwise(times))
    return f"{label:<44}{', '.join(f'{one * 1000:.1f}' for one in times):>28} ms   x {ratios}"


def placings() -> Iterator[str]:
    """The lines of the placing alone."""
    for limit in (None, 90, 30):
        for ties in (0.0, 0.5):
            one = large_problem(50, 2.0, limit, ties)
            rows = [in_a_row(one, times) for times in (4, 8, 16)]
            place(rows[0])
            times = [seconds(partial(place, row)) for row in rows]
            yield told(f"place 200, 400, 800, limit {limit}, ties {ties}", times)


def planned(household: Household, on: int) -> None:
    """The plan of a day, by a household that has planned nothing yet."""
    household.memory.clear()
    plan_of(household, on)


def rolled_over_a_year(household: Household, on: int) -> None:
    """The same for the weeks of a year."""
    household.memory.clear()
    list(rolled(household, on, on + 365))


def plans() -> Iterator[str]:
    """The lines of whole books."""
    sizes = [(45, 2), (90, 2), (180, 2)], [(45, 4), (45, 8), (45, 16)]
    for what, books in zip(("chores", "years"), sizes, strict=True):
        plan, roll = [], []
        for chores, years in books:
            with tempfile.TemporaryDirectory() as made:
                write_household(Path(made), chores=chores, years=years, people=3)
                day = span(years)[1]
                household, on = load(made, today=day).household, day.toordinal()
            plan.append(seconds(partial(planned, household, on)))
            roll.append(seconds(partial(rolled_over_a_year, household, on)))
        yield told(f"plan_of, n {what}, {books[0]}", plan)
        yield told(f"rolled over a year, n {what}, {books[0]}", roll)


def main() -> None:
    """Print the table."""
    for line in (*placings(), *plans()):
        print(line, flush=True)


if __name__ == "__main__":
    main()

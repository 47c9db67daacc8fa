"""The plans of random homes, held against an integer program (HiGHS).

    python tests/abuse/plans.py [HOMES [FIRST_SEED]] [--program-only]

Each home has up to 12 chores, and is planned for 8 weeks. Prints how many plans are the best in
every figure, the worst gap of each figure, and each false claim; ends with 1 where there was a
fault. The plan of its first Monday, as the reports have it, is held to the constraints too. With
`--program-only` nothing is placed: it tells how long HiGHS takes, and where.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from books import house
from held_plans import Held, held
from integer_program import SECONDS, NotProven, best
from plan_figures import FIGURES
from planned_constraints import ToPlan, faults_of, faults_of_plan, to_plan
from random_planned_homes import PlannedHome, random_planned_home

from ledger.calendar.week import week_first
from ledger.household.model import Household
from ledger.planning.place import place
from ledger.planning.plan import IN_SIGHT
from ledger.planning.work import Score

SLOW = 2.0
"""Seconds after which a home is named."""


def household_of(home: PlannedHome) -> Household:
    """The household of a random home, on the first day of its plan."""
    return house(*home.lines).on(home.first)


class Run:
    """Counts of what held."""

    def __init__(self) -> None:
        self.homes = self.best = self.windows = 0
        self.gaps = Counter[str]()
        self.claimed = Counter[str]()
        self.behind = Counter[str]()
        self.unproven = Counter[str]()
        self.faults: list[str] = []

    def home(self, seed: int) -> None:
        """Place one home, and hold it against the best."""
        home = random_planned_home(seed)
        household = household_of(home)
        wanted = to_plan(household, home.first, home.last)
        placement = place(wanted.problem)
        found = held(wanted.problem, placement)
        plan = list(zip(wanted.windows, placement.days, strict=True))
        faults = faults_of(household, plan, home.first, home.last)
        monday = week_first(home.first + 6, household.week_start)
        faults += faults_of_plan(household.on(monday), monday, monday + IN_SIGHT - 1)
        self.faults += [f"home {seed}: {fault}" for fault in (*found.faults, *faults)]
        self.count(wanted, found)

    def count(self, wanted: ToPlan, found: Held) -> None:
        """Add up what came of a home."""
        self.homes += 1
        self.windows += len(wanted.windows)
        self.best += found.is_best
        if found.unproven:
            self.unproven[found.unproven] += 1
        for name, gap in zip(Score._fields, found.gaps, strict=False):
            self.gaps[name] = max(self.gaps[name], gap)
            self.behind[name] += gap > 0
        for name, gap in zip(FIGURES, found.claimed, strict=False):
            self.claimed[name] = max(self.claimed[name], gap)

    def told(self) -> str:
        """What came of all."""
        lines = [
            f"{self.best} of {self.homes} are the best in every figure ({self.windows} windows)"
        ]
        lines += [
            f"  {name:12} behind in {self.behind[name]:3}, at worst by {self.gaps[name]:4}; "
            f"claimed at most {self.claimed[name]:4}; without a proof {self.unproven[name]}"
            for name in Score._fields
        ]
        return "\n".join([*lines, f"{len(self.faults)} faults", *self.faults[:20]])


def time_program(seeds: range) -> None:
    """How long HiGHS takes for the best of each home."""
    began, unproven = time.perf_counter(), Counter[str]()
    for seed in seeds:
        home = random_planned_home(seed)
        problem = to_plan(household_of(home), home.first, home.last).problem
        start = time.perf_counter()
        try:
            best(problem)
        except NotProven as stopped:
            unproven[stopped.figure] += 1
        seconds = time.perf_counter() - start
        if seconds > SLOW:
            free = sum(len(one.days) > 1 for one in problem.pieces)
            print(f"home {seed}: {seconds:.1f} s for {free} windows with a choice of days")
    print(f"{len(seeds)} homes in {time.perf_counter() - began:.0f} s")
    print(f"without a proof in {SECONDS:.0f} s a figure: {dict(unproven) or 'none'}")


def main(words: list[str]) -> int:
    """Run as the command says."""
    numbers = [int(word) for word in words if word.isdigit()]
    homes, first = (numbers + [300, 0][len(numbers) :])[:2]
    seeds = range(first, first + homes)
    if "--program-only" in words:
        time_program(seeds)
        return 0
    run = Run()
    for seed in seeds:
        run.home(seed)
    print(run.told())
    return int(bool(run.faults))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

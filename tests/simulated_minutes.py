"""A home that times its chores for twenty years, with good and bad days or without, and how many
of its days and weeks lie in the range that was expected of them."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp
from random import Random
from typing import NamedTuple

from books import day, house, iso

from ledger.household.model import Household
from ledger.keeping.minutes import learned_by
from ledger.report.due import due
from ledger.report.estimate import estimate
from ledger.report.task import Task

BEGIN = day("2006-01-01")
YEARS = 20
FIRST_WEEKS = 28
"""Days on which the record is still too young to be judged."""
USUAL = (3, 4, 5, 8, 10, 12, 15, 20, 30, 45)
"""The minutes of chores."""
NOISE = 0.25
"""The standard deviation of a chore's minutes by itself, as the logarithm of a ratio."""


class TimedHome(NamedTuple):
    """A home with its tasks of a day, and what they took together each day from `BEGIN` on."""

    household: Household
    tasks: Sequence[Task]
    totals: Sequence[int]


def timed_home(size: int, shared: float, seed: int, kind: str = "normal") -> TimedHome:
    """A home of so many daily chores. `shared` is the standard deviation of its days; the days are
    normal, or of `two` kinds that are as frequent, or every fifth is `bad`."""
    rng = Random(seed)
    usual = [rng.choice(USUAL) for _ in range(size)]
    lines, totals = [], []
    for number in range(YEARS * 365):
        drawn = {"normal": rng.gauss(0, 1), "two": rng.choice((-1, 1)),
                 "bad": 2.0 if rng.random() < 0.2 else -0.5}[kind]  # fmt: skip
        factor = exp(shared * drawn)
        took = [max(1, round(one * factor * exp(rng.gauss(0, NOISE)))) for one in usual]
        totals.append(sum(took))
        said = ", ".join(f"c{n} {minutes} min" for n, minutes in enumerate(took))
        lines.append(f"{iso(BEGIN + number)} did {said}")
    chores = [f"    c{n}  {minutes} min" for n, minutes in enumerate(usual)]
    household = house(f"since {iso(BEGIN)}", "every day", *chores, *lines)
    return TimedHome(household, due(household, BEGIN).done, totals)


def covered(home: TimedHome, step: int, days: int = 1) -> float:
    """The part of the days, or of rows of so many days, that lie in the range expected on the
    evening before: one in every `step` days. A total of whole minutes stands for the minute around
    it and counts by the part of that which lies in the range, so that one equal to a bound counts
    half."""
    tasks = [task._replace(state="due", real=0) for task in home.tasks]
    scores = []
    for number in range(FIRST_WEEKS, len(home.totals) - days + 1, step):
        before = BEGIN + number - 1
        learned_of = learned_by(home.household, before)
        found = estimate(home.household, before, [tasks] * days, learned_of)
        assert found is not None
        total = sum(home.totals[number : number + days])
        inside = min(total + 0.5, found.high) - max(total - 0.5, found.low)
        scores.append(max(0.0, inside))
    return sum(scores) / len(scores)

"""Estimate: how long some tasks take together, by the record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from ledger.household.model import Household
from ledger.keeping.day_effects import day_effects
from ledger.keeping.minutes import Learned
from ledger.planning.likely import Draw, Quartiles, likely
from ledger.report.task import Task


def estimate(
    household: Household,
    on: int,
    days: Iterable[Iterable[Task]],
    learned_of: Callable[[str], Learned | None],
) -> Quartiles | None:
    """The quartiles of the minutes of some days' tasks together, by the record up to a day; None
    where no chore was timed often enough.

    A chore with enough timed lines takes what any of them says, without what was worked already,
    once for each person who does it. Any other chore takes its declared minutes.
    """
    fixed = 0
    drawn: list[Sequence[Draw]] = []
    for tasks in days:
        draws: list[Draw] = []
        for task in tasks:
            learned = learned_of(task.chore)
            if learned is None:
                fixed += task.total
            else:
                left = tuple(max(0, minutes - task.worked) for minutes in learned.timed)
                draws += [Draw(task.chore, left, learned.days)] * task.shares
        drawn.append(draws)
    has_several = any(len(draws) > 1 for draws in drawn)
    return likely(drawn, day_effects(household, on) if has_several else (), fixed)

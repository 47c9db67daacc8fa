"""Estimate: how long some tasks take together, by the record."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from ledger.keeping.minutes import Learned
from ledger.planning.likely import Quartiles, quartiles
from ledger.report.task import Task


def estimate(
    tasks: Iterable[Task], learned_of: Callable[[str], Learned | None]
) -> Quartiles | None:
    """The quartiles of the tasks' minutes together; None where no chore was timed often enough.

    A chore with enough timed lines takes what any of them says, without what was worked already,
    once for each person who does it. Any other chore takes its declared minutes.
    """
    samples: list[tuple[int, ...]] = []
    fixed = 0
    for task in tasks:
        learned = learned_of(task.chore)
        if learned is None:
            fixed += task.total
        else:
            left = tuple(max(0, minutes - task.worked) for minutes in learned.timed)
            samples += [left] * task.shares
    return quartiles(samples, fixed) if samples else None

"""Pick: what of a day fits in the minutes there are."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import NamedTuple

from ledger.report.task import Task, in_order
from ledger.schedule.pick import Candidate, pick

MILLION = 1_000_000


class Picked(NamedTuple):
    """A task that fits in the minutes there are."""

    task: Task
    minutes: int
    """What it is counted as, of all who each do it: as learned where that differs."""


class Left(NamedTuple):
    """A task that is left for later, and why."""

    task: Task
    minutes: int | None
    """What it is counted as; None where nobody knows."""
    reason: str
    """`unknown`: its minutes are; `too-long`: for all the minutes there are; `no-room`: beside
    what was picked."""


class Pick(NamedTuple):
    """The best set of open tasks that fits in the minutes there are."""

    minutes: int
    used: int
    picked: tuple[Picked, ...]
    """In the order in which they are to be done, late ones first."""
    left: tuple[Left, ...]

    @property
    def tasks(self) -> list[Task]:
        """The tasks that are picked."""
        return [one.task for one in self.picked]

    @property
    def rest(self) -> int:
        """Minutes that are over."""
        return self.minutes - self.used


def pick_tasks(
    late: Sequence[Task], last_day: Sequence[Task], may_wait: Sequence[Task], minutes: int
) -> Pick:
    """The tasks to do in the minutes there are, in working order, and those left for later.

    Which is the best set, `schedule.pick` says; a task that nobody knows the minutes of is in
    none.
    """
    tasks = [*late, *last_day, *may_wait]
    spans = [_counted(task) for task in tasks]
    known = [(task, span) for task, span in zip(tasks, spans, strict=True) if span is not None]
    chosen = pick(
        [
            Candidate(
                span,
                # However little of its period a task is late by, it counts as late.
                max(1, round(task.lateness * MILLION)) if task.state == "overdue" else 0,
                task in last_day,
            )
            for task, span in known
        ],
        minutes,
    )
    taken = dict(known[place] for place in chosen)
    used = sum(taken.values())
    return Pick(
        minutes=minutes,
        used=used,
        picked=tuple(Picked(task, taken[task]) for task in in_order(list(taken))),
        left=tuple(
            Left(task, span, _reason(span, minutes))
            for task, span in zip(tasks, spans, strict=True)
            if task not in taken
        ),
    )


def _counted(task: Task) -> int | None:
    """Whole minutes that a task takes, of all who each do it; None where nobody knows."""
    if task.lately is not None:
        return ceil(task.lately * task.shares)
    return task.total if task.minutes is not None else None


def _reason(span: int | None, minutes: int) -> str:
    if span is None:
        return "unknown"
    return "too-long" if span > minutes else "no-room"

"""Lists: the open tasks of a day, sorted out by the plan."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from ledger.household.cadence import container
from ledger.household.model import Household
from ledger.planning.plan import plan_of
from ledger.report.task import Task, in_order


class LetGo(NamedTuple):
    """A late task that one may let go, and when it comes round again."""

    task: Task
    """The task."""
    again: date
    """The first day of its next window."""


class Lists(NamedTuple):
    """What a day asks for, and what not yet."""

    late: list[Task]
    """Late, and planned for the day."""
    today: list[Task]
    """In time, and planned for the day or without a later one."""
    may_wait: list[Task]
    """In time, and planned for a later day, or spare."""
    waiting: list[Task]
    """Late, and planned for a later day."""
    let_go: tuple[LetGo, ...]

    @property
    def everything(self) -> list[Task]:
        """All open tasks, those of the day first."""
        gone = (one.task for one in self.let_go)
        return [*self.late, *self.today, *self.waiting, *gone, *self.may_wait]


def sorted_out(household: Household, tasks: Sequence[Task], day: int) -> Lists:
    """The open tasks of a day in their lists, each list in order."""
    when = date.fromordinal(day)
    late = [task for task in tasks if task.state == "overdue"]
    late.sort(key=lambda task: (not task.vital, -task.lateness))
    due_now = [task for task in tasks if task.state == "due"]
    place = {container(section): n for n, section in enumerate(reversed(household.sections))}
    today = [task for task in due_now if not _may_wait(task, day)]
    may_wait = [task for task in due_now if _may_wait(task, day)]
    later = [task for task in late if task.planned is None or task.planned > when]
    let_go = _let_go(household, day, later)
    gone = [one.task for one in let_go]
    return Lists(
        late=[task for task in late if task.planned is not None and task.planned <= when],
        today=in_order(sorted(today, key=lambda task: -place[task.container])),
        may_wait=sorted(may_wait, key=lambda task: (task.spare, task.last)),
        waiting=sorted(
            (task for task in later if task not in gone),
            key=lambda task: task.planned or date.max,
        ),
        let_go=let_go,
    )


def _let_go(household: Household, day: int, later: Sequence[Task]) -> tuple[LetGo, ...]:
    """Those of some late tasks without a day that come round again soon."""
    again = {entry.occasion.chore: entry.closes + 1 for entry in plan_of(household, day).let_go}
    return tuple(
        LetGo(task, date.fromordinal(again[task.chore]))
        for task in later
        if task.planned is None and task.chore in again
    )


def _may_wait(task: Task, day: int) -> bool:
    """True for a task that is planned for a later day, or need not be done at all."""
    if task.spare:
        return True
    if task.planned is not None:
        return task.planned.toordinal() > day
    return task.last_asked is not None and task.last_asked.toordinal() > day

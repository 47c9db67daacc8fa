"""Due: what a day asks for."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from ledger.household.model import Household
from ledger.report.task import Caution, Task, cautions_of, in_order, join_shares, task_of
from ledger.schedule.absence import away_title
from ledger.schedule.load import limit_of
from ledger.schedule.status import Standing, standing_and_ahead, timelines
from ledger.schedule.windows import Timeline


class Due(NamedTuple):
    """What a day asks for, as the record has it by then."""

    household: str | None
    day: date
    away: str | None
    """Why the whole household is away, empty if the book does not say; None at home."""
    containers: tuple[str, ...]
    """Containers to take out, in the order of the book."""
    late: tuple[Task, ...]
    """Past their windows, those first that are late by most of their own periods."""
    today: tuple[Task, ...]
    """On the last day of their windows."""
    waiting: tuple[Task, ...]
    """Open, with days to come in their windows; those that close first come first."""
    done: tuple[Task, ...]
    """Settled on the day."""
    minutes: int
    """As declared, of what is late and what is on its last day."""
    likely: float
    """The same, going by learned minutes where they differ."""
    waiting_minutes: int
    limit: int | None
    """Minutes that fit in the day, as the book says."""
    cautions: tuple[Caution, ...]


def due(household: Household, day: int, today: int) -> Due:
    """What a day asks for. `today` is where a book with neither `since` nor a record begins."""
    tasks = join_shares(_tasks(household, day, today))
    open_tasks = [task for task in tasks if task.state in ("due", "overdue")]
    late = sorted(
        (task for task in open_tasks if task.state == "overdue"),
        key=lambda task: -task.lateness,
    )
    last_day = [t for t in open_tasks if t.state == "due" and t.last.toordinal() == day]
    waiting = sorted(
        (t for t in open_tasks if t.state == "due" and t.last.toordinal() > day),
        key=lambda task: task.last,
    )
    must = [*late, *last_day]
    return Due(
        household=household.title,
        day=date.fromordinal(day),
        away=away_title(household, day),
        containers=tuple(
            dict.fromkeys(task.container for task in open_tasks if task.state == "due")
        ),
        late=tuple(late),
        today=tuple(in_order(last_day)),
        waiting=tuple(waiting),
        done=tuple(task for task in tasks if task.settled == date.fromordinal(day)),
        minutes=sum(task.total for task in must),
        likely=sum(task.likely for task in must),
        waiting_minutes=sum(task.total for task in waiting),
        limit=limit_of(household, day),
        cautions=cautions_of([*must, *waiting]),
    )


def _tasks(household: Household, day: int, today: int) -> list[Task]:
    """A task for each window that is open, overdue, or settled on the day."""
    return [
        _task(timeline, one, day)
        for chore in household.chores.values()
        for timeline in timelines(household, chore, today)
        for one in _standings(timeline, day)
        if one.mark is None or one.mark.day == day
    ]


def _standings(timeline: Timeline, day: int) -> list[Standing]:
    now, ahead = standing_and_ahead(timeline, day)
    return [now, *ahead] if now is not None else ahead


def _task(timeline: Timeline, one: Standing, day: int) -> Task:
    span = (one.first, one.last)
    return task_of(timeline, one.routine, span, one.state.value, one.mark, day, one.opened)

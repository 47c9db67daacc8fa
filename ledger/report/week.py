"""Week: seven days, what each holds, and what may wait beyond them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from ledger.household.model import Household
from ledger.report.task import Caution, Task, cautions_of, in_order, join_shares, task_of
from ledger.schedule.absence import away_title
from ledger.schedule.load import Demand, limit_of
from ledger.schedule.matching import Occasion, occasions
from ledger.schedule.spread import spread
from ledger.schedule.status import after_done_now, timelines
from ledger.schedule.week import MAX_DAY, week_first
from ledger.schedule.windows import Timeline


class WeekDay(NamedTuple):
    """One day of the week: what is done, was missed, or is put on it."""

    day: date
    away: str | None
    containers: tuple[str, ...]
    """Containers of the day's tasks, but for those done late or early."""
    tasks: tuple[Task, ...]
    minutes: int
    """As declared, of all tasks of the day, done or not."""
    limit: int | None


class Week(NamedTuple):
    """The seven days of a week, as the record has them by a day."""

    household: str | None
    on: date
    days: tuple[WeekDay, ...]
    waiting: tuple[Task, ...]
    """Open in the week, and closing after it."""
    minutes: int
    """As declared, of the seven days together."""
    cautions: tuple[Caution, ...]


def week(household: Household, on: int, today: int) -> Week:
    """The week that holds a day, with what the record says by that day.

    A window of several days stands on the day it was done; one that is open is put on the
    day with most room. `today` is where a book with neither `since` nor a record begins.
    """
    first = week_first(on, household.week_start)
    last = min(first + 6, MAX_DAY)
    tasks = join_shares(_tasks(household, first, last, on, today))
    days = {day: limit_of(household, day) for day in range(first, last + 1)}
    placed = _placed(tasks, days, first, last, on)
    waiting = [task for task in tasks if task.state == "due" and task.last.toordinal() > last]
    return Week(
        household=household.title,
        on=date.fromordinal(on),
        days=tuple(_day(household, day, placed[day], days[day]) for day in range(first, last + 1)),
        waiting=tuple(sorted(waiting, key=lambda task: task.last)),
        minutes=sum(task.total for day in placed.values() for task in day),
        cautions=cautions_of(
            task for day in placed.values() for task in day if task.settled is None
        ),
    )


def _day(household: Household, day: int, tasks: list[Task], limit: int | None) -> WeekDay:
    when = date.fromordinal(day)
    containers = (task.container for task in tasks if task.first <= when <= task.last)
    return WeekDay(
        day=when,
        away=away_title(household, day),
        containers=tuple(dict.fromkeys(containers)),
        tasks=tuple(in_order(tasks)),
        minutes=sum(task.total for task in tasks),
        limit=limit,
    )


def _placed(
    tasks: list[Task], limits: dict[int, int | None], first: int, last: int, on: int
) -> dict[int, list[Task]]:
    """The tasks by day: what is settled or missed where it fell, the rest where it fits."""
    days: dict[int, list[Task]] = {day: [] for day in range(first, last + 1)}
    days_of: dict[int, int] = {}
    demands: dict[Demand, int] = {}
    for index, task in enumerate(tasks):
        if task.settled is not None:
            days_of[index] = task.settled.toordinal()
        elif task.state == "missed":
            days_of[index] = task.last.toordinal()
        elif task.state == "overdue":
            days_of[index] = on
        elif task.last.toordinal() <= last:
            span = max(on, task.first.toordinal()), task.last.toordinal()
            demands[Demand(*span, task.total, f"{index}")] = index
    taken: dict[int, int] = {}
    for index, day in days_of.items():
        taken[day] = taken.get(day, 0) + tasks[index].total
    for demand, day in spread(list(demands), limits, max(on, first), last, taken).items():
        days_of[demands[demand]] = day
    for index, task in enumerate(tasks):
        day = days_of.get(index, 0)
        if day in days:
            days[day].append(task)
    return days


def _tasks(household: Household, first: int, last: int, on: int, today: int) -> Iterator[Task]:
    for chore in household.chores.values():
        for timeline in timelines(household, chore, today):
            yield from _calendar_tasks(timeline, first, last, on)
            yield from _after_done_tasks(timeline, first, last, on)


def _calendar_tasks(timeline: Timeline, first: int, last: int, on: int) -> Iterator[Task]:
    """What the week has of a chore's calendar windows."""
    found = occasions(timeline, timeline.household.log, first, last, on)
    opened = [occasion for occasion in found if occasion.first <= on]
    latest = opened[-1] if opened else None
    for occasion in found:
        state = _state(occasion, occasion is latest, on)
        in_week = occasion.first <= last and occasion.last >= first
        settled = occasion.mark.day if occasion.mark else None
        if settled is not None and not first <= settled <= last and not in_week:
            continue
        if in_week or settled is not None or state == "overdue":
            span = (occasion.first, occasion.last)
            window = occasion.window
            yield task_of(timeline, window.routine, span, state, occasion.mark, on, window.first)


def _state(occasion: Occasion, is_latest: bool, on: int) -> str:
    if occasion.mark is not None:
        return "done" if occasion.mark.verb == "did" else "skipped"
    if occasion.last >= on:
        return "due"
    return "overdue" if is_latest else "missed"


def _after_done_tasks(timeline: Timeline, first: int, last: int, on: int) -> Iterator[Task]:
    """What the week has of a chore that comes round so many days after it was done."""
    routine = timeline.after_done(on)
    if routine is None:
        return
    span, settled = after_done_now(timeline, routine, on)
    if settled is not None and first <= settled.day <= last:
        day, state = settled.day, "done" if settled.verb == "did" else "skipped"
        yield task_of(timeline, routine, (day, day), state, settled, on)
    if span is not None and span[0] <= last:
        yield task_of(timeline, routine, span, "overdue" if span[1] < on else "due", None, on)

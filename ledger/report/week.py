"""Week: seven days, what each holds, and what may wait beyond them."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from functools import partial
from typing import Annotated, NamedTuple

from ledger.calendar.presence import absence_title
from ledger.calendar.week import MAX_DAY, week_first
from ledger.household.model import Household
from ledger.keeping.history import shares_of
from ledger.keeping.minutes import Learned, learned_by
from ledger.keeping.occasion import OutcomeKind
from ledger.keeping.past import pasts_of
from ledger.planning.likely import Quartiles
from ledger.planning.plan import least_within, plan_of
from ledger.report.apart import KeptApart, kept_apart
from ledger.report.as_kept import as_kept
from ledger.report.estimate import estimate
from ledger.report.planned import Choosing
from ledger.report.scope import (
    WHOLE,
    Absent,
    Scope,
    absent_on,
    limit_in,
    on_day,
    shared_minutes,
    within,
)
from ledger.report.task import Caution, Task, cautions_of, in_order, join_shares, task_of
from ledger.text.fields import AreaAsked, Bounds, Count, DayLimit, HouseholdTitle, PersonAsked

LearnedOf = Callable[[str], Learned | None]
EstimateOf = Callable[[Sequence[Sequence[Task]]], Quartiles | None]


class WeekDay(NamedTuple):
    """One day of the week."""

    day: date
    """The day."""
    absent: tuple[Absent, ...]
    """Who is away on the day and who rests; of one person's week, only that person."""
    away: str | None
    """Why the whole household, or the person, is away on the day; empty where the book gives no
    reason; None at home."""
    rest: str | None
    """Why the whole household, or the person, rests on the day; empty where the book gives no
    reason; None on other days."""
    containers: tuple[str, ...]
    """Containers of the day's tasks, without those of tasks outside their windows."""
    apart: tuple[KeptApart, ...]
    """Chores of the day that must not be done on one day and could not be put on two. All people
    and areas count, whatever person or area was asked for."""
    tasks: tuple[Task, ...]
    """Tasks that were settled or missed on the day, or are to be done on it."""
    minutes: Count
    """Minutes of all tasks of the day, done or not, as the book says."""
    shared_minutes: Count
    """Those of these minutes that others may take over from the person asked for: anyone, or one of
    several, may do the task. 0 for the whole household."""
    real: Count
    """Minutes that the tasks done on the day took: by the record where it says them, else as the
    book says."""
    over: Count
    """Minutes beyond the limit, without shared ones; 0 where there is no limit."""
    left: Count
    """Minutes of those that are still to be done, as the book says."""
    likely: Quartiles | None
    """How long those take by the record; None where none of them was timed often enough."""
    limit: DayLimit


class Week(NamedTuple):
    """Seven days with what each holds, by the record up to a day. A task is on one of the days at
    most."""

    household: HouseholdTitle
    kept_from: date | None
    """Of a week to come, the first of the days before it that are taken as kept: what they ask for
    counts as done. None for this week and weeks past, which go by the record alone."""
    on: date
    """The day that the record is known up to: the day asked about, or if that is to come, today or
    the first day of its week."""
    person: PersonAsked
    area: AreaAsked
    days: Annotated[tuple[WeekDay, ...], Bounds(1, 7)]
    """The days of the week in order."""
    may_wait: tuple[Task, ...]
    """Tasks that are open in the week and not planned for it, those that close first first; then
    spare ones."""
    let_go: tuple[str, ...]
    """Names of late chores that do not fit within the limits and come round again soon; they are
    among those that may wait."""
    minutes: Count
    """Minutes of all the days together, as the book says."""
    left: Count
    """Minutes of what is still to be done on them, as the book says."""
    likely: Quartiles | None
    """How long that takes by the record; None where none of it was timed often enough."""
    heaviest: Count
    """Minutes of the heaviest day, from the day asked about on."""
    heaviest_least: Count | None
    """No choice of days for what is planned in the week, with as few minutes over the limits, has a
    heaviest day below this. It equals `heaviest` where it is proven that none is better. None for
    one person or area."""
    over_least: Count | None
    """No choice of days for it has fewer minutes over the limits than this. None for one person or
    area."""
    cautions: tuple[Caution, ...]
    """What to mind with the things that the open tasks of the week use, each thing once."""


def week(household: Household, on: int, scope: Scope = WHOLE) -> Week:
    """The week of a day, by the record up to that day.

    A settled window is on the day it was settled; the plan puts each other on a day, for the whole
    household, so that it is on the same day in every scope. Of a week to come, all days before it
    are taken as kept.
    """
    first = week_first(on, household.week_start)
    if household.as_of is not None and on > household.as_of:
        on = max(first, household.as_of)
    household, kept_from = as_kept(household, on)
    last = min(first + 6, MAX_DAY)
    learned_of = learned_by(household, on)
    tasks = join_shares(_tasks(household, (first, last), on, learned_of))
    placed: dict[int, list[Task]] = {day: [] for day in range(first, last + 1)}
    for task in tasks:
        its_day = _day_of(task)
        if its_day in placed:
            placed[its_day].append(task)
    least = least_within(household, on, last) if scope == WHOLE else None
    estimate_of = partial(estimate, household, on, learned_of=learned_of)
    days = [_day(household, day, placed[day], scope, estimate_of) for day in range(first, last + 1)]
    beyond = [task for task in tasks if task.is_open and _day_of(task) not in placed]
    let_go = {entry.occasion.chore for entry in plan_of(household, on).let_go}
    to_do = [task for day in days for task in _to_do(day.tasks)]
    return Week(
        household=household.title,
        kept_from=None if kept_from is None else date.fromordinal(kept_from),
        on=date.fromordinal(on),
        person=scope.person,
        area=scope.area,
        days=tuple(days),
        may_wait=tuple(sorted(within(beyond, scope), key=lambda task: (task.spare, task.last))),
        let_go=tuple(dict.fromkeys(task.chore for task in beyond if task.chore in let_go)),
        minutes=sum(day.minutes for day in days),
        left=sum(day.left for day in days),
        likely=estimate_of([_to_do(day.tasks) for day in days]),
        heaviest=max(day.minutes for day in days[on - first :]),
        heaviest_least=None if least is None else least.heaviest,
        over_least=None if least is None else least.over,
        cautions=cautions_of(to_do),
    )


def _day_of(task: Task) -> int | None:
    """The day that a task is on: when it was settled or missed, or for which it is planned."""
    if task.state == "missed":
        return task.last.toordinal()
    day = task.settled or task.planned
    return None if day is None else day.toordinal()


def _to_do(tasks: Iterable[Task]) -> list[Task]:
    return [task for task in tasks if task.is_open]


def _day(
    household: Household, day: int, all_tasks: list[Task], scope: Scope, estimate_of: EstimateOf
) -> WeekDay:
    tasks = on_day(household, day, all_tasks, scope)
    when = date.fromordinal(day)
    containers = (task.container for task in tasks if task.first <= when <= task.last)
    to_do = _to_do(tasks)
    minutes, limit = sum(task.total for task in tasks), limit_in(household, day, scope)
    shared = shared_minutes(tasks, scope)
    return WeekDay(
        day=when,
        absent=absent_on(household, day, scope.person),
        away=absence_title(household, "away", day, scope.person),
        rest=absence_title(household, "rest", day, scope.person),
        containers=tuple(dict.fromkeys(containers)),
        apart=kept_apart(all_tasks),
        tasks=tuple(in_order(tasks)),
        minutes=minutes,
        shared_minutes=shared,
        real=sum(task.real for task in tasks),
        over=0 if limit is None else max(0, minutes - shared - limit),
        left=sum(task.total for task in to_do),
        likely=estimate_of([to_do]),
        limit=limit,
    )


def _tasks(
    household: Household, days: tuple[int, int], on: int, learned_of: LearnedOf
) -> Iterator[Task]:
    """The tasks of each chore in the week: what became of its windows, and what is to be done."""
    first, last = days
    choosing = Choosing(household, on)
    for chore in household.chores.values():
        learned = learned_of(chore.name)
        for history in pasts_of(household, chore, first, last, on):
            for one in history.outcomes:
                if one.fate in _STATES:
                    yield task_of(one, learned, _STATES[one.fate])
        for share in shares_of(household, chore, first, on):
            for one in share.to_do(last):
                yield task_of(one, learned, None, choosing.of(one))


_STATES: dict[OutcomeKind | None, str] = {
    OutcomeKind.DONE: "done",
    OutcomeKind.LATE: "done",
    OutcomeKind.EARLY: "done",
    OutcomeKind.SKIPPED: "skipped",
    OutcomeKind.MISSED: "missed",
}
"""The state of a task by its window's outcome; owed and open windows are still to be done."""

"""Ahead: how heavy the days of the coming year are, and which chores the heaviest ones have."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from ledger.calendar.presence import absence_title
from ledger.calendar.week import (
    MAX_DAY,
    month_first,
    month_index,
    month_last,
    week_first,
    weekday,
    year_on,
)
from ledger.household.model import Household
from ledger.keeping.occasion import Occasion
from ledger.planning.board import bounded
from ledger.planning.bounds import days_of, least_over
from ledger.planning.load import limit_on
from ledger.planning.plan import Planned, rolled
from ledger.report.as_kept import as_kept
from ledger.text.fields import ChoreName, Count, FirstDay, HouseholdTitle, LastDay

HEAVIEST = 5
"""How many of the heaviest days are listed with their chores."""


class AheadDay(NamedTuple):
    """One day ahead, and the minutes that are put on it."""

    day: date
    """The day."""
    away: str | None
    """Why the whole household is away, empty where the book does not say; None at home."""
    weekend: bool
    """True for a day of the household's weekend."""
    minutes: Count
    """Minutes that are put on it, as the book says."""
    limit: Count | None
    """Minutes that fit in it; None for no limit."""
    over: Count
    """Minutes beyond the limit."""


class FullSpan(NamedTuple):
    """A week or a month. Only those of its days count that the answer covers."""

    first: date
    """The first of its days that the answer covers."""
    last: date
    """The last of its days that the answer covers."""
    minutes: Count
    """Minutes of these days together."""
    limit: Count | None
    """Minutes that fit in these days together; None where one of them has no limit."""
    over: Count
    """Minutes beyond the limits of these days."""
    days_over: Count
    """How many of these days are beyond their limits."""


class AheadTask(NamedTuple):
    """What a chore puts on a day. Where each person does their own, all shares together."""

    chore: ChoreName
    minutes: Count
    """Minutes it puts on the day."""
    first: FirstDay
    last: LastDay
    expected: bool
    """True where these days depend on when the chore is done the time before."""
    late: bool
    """True where these days are past."""


class HeavyDay(NamedTuple):
    """One of the heaviest days, with what is on it."""

    day: date
    """The day."""
    minutes: Count
    """Minutes that are put on it."""
    limit: Count | None
    """Minutes that fit in it; None for no limit."""
    over: Count
    """Minutes beyond the limit."""
    tasks: tuple[AheadTask, ...]
    """Its chores, the longest first; those without minutes are left out."""


class Ahead(NamedTuple):
    """How heavy the days are from a first day on, by the record up to that day."""

    household: HouseholdTitle
    kept_from: date | None
    """Where the first day is to come, the first of the days before it that are taken as kept: what
    they ask for counts as done. None where it is today or past."""
    on: date
    """The first day."""
    until: date
    """The last day: a year on, or the end of the weeks if that is later."""
    days: tuple[AheadDay, ...]
    """Every day from the first to the last. A chore with a choice of days is put on one of them."""
    weeks: tuple[FullSpan, ...]
    """The weeks asked for. The first one begins on the first day, the last one is whole."""
    heaviest: tuple[HeavyDay, ...]
    """Days with most minutes beyond their limits, then those with most minutes; at most five."""
    months: tuple[FullSpan, ...]
    """The months. Of the first and the last, only the days that the answer covers count."""
    minutes: Count
    """Minutes of all days together."""
    over: Count
    """Minutes beyond the limits, of all days together."""
    least_over: Count
    """No choice of days has fewer minutes beyond the limits than this."""
    late: Count
    """How many windows closed before the first day and are still owed. The plan puts them on coming
    days."""
    expected: Count
    """How many windows depend on when their chore is done the time before. That is taken to be the
    first day on which it may be done."""
    untimed: tuple[str, ...]
    """Names of the chores ahead for which the book says no minutes; they count as none."""


def ahead(household: Household, on: int, weeks: int) -> Ahead:
    """The load of the year from a day on, or of the weeks asked for if they reach further.

    Every window that is planned for a day of it counts once, as `week` plans it week after week, if
    all is done as planned; the days between today and a first day to come are taken as kept. What
    is done already does not count. The last week is a whole one.
    """
    household, kept_from = as_kept(household, on)
    end = _week_last(household, min(on + 7 * weeks - 1, MAX_DAY))
    until = max(end, year_on(on))
    windows = [_asked(one, on) for one in rolled(household, on, until)]
    windows = [one for one in windows if one.occasion.mark is None]
    limits = {day: limit_on(household, day) for day in range(on, until + 1)}
    minutes = dict.fromkeys(limits, 0)
    for window in windows:
        minutes[window.day] += window.load
    days = [_day(household, day, minutes[day], limits[day]) for day in limits]
    return Ahead(
        household=household.title,
        kept_from=None if kept_from is None else date.fromordinal(kept_from),
        on=date.fromordinal(on),
        until=date.fromordinal(until),
        days=tuple(days),
        weeks=tuple(_full_spans(days, _weeks(household, on, end))),
        heaviest=tuple(_heaviest(days, windows)),
        months=tuple(_full_spans(days, _months(on, until))),
        minutes=sum(minutes.values()),
        over=sum(day.over for day in days),
        least_over=_least_over(windows, list(limits.values()), on),
        late=sum(window.occasion.is_late for window in windows),
        expected=sum(window.occasion.is_expected for window in windows),
        untimed=tuple(
            dict.fromkeys(w.chore for w in windows if w.occasion.routine.minutes is None)
        ),
    )


class _Asked(NamedTuple):
    """A window still to be done, with the day that it is planned for."""

    occasion: Occasion
    day: int
    load: int
    """Its minutes, for all the people who do it together."""
    first: int
    last: int
    """The first and the last day on which it may be done."""

    @property
    def chore(self) -> str:
        """The name of its chore."""
        return self.occasion.chore


def _asked(planned: Planned, on: int) -> _Asked:
    one = planned.entry.occasion
    together = one.routine.shares if one.person is None else 1
    span = one.asked_span(planned.day) or (planned.day, planned.day)
    first = min(planned.day, max(one.first, on))
    return _Asked(one, planned.day, one.minutes * together, first, max(planned.day, span[1]))


def _least_over(windows: Sequence[_Asked], limits: Sequence[int | None], on: int) -> int:
    """A lower bound on the minutes over the limits, whatever days the windows had."""
    end = on + len(limits) - 1
    jobs = [(max(one.first, on) - on, min(one.last, end) - on, one.load) for one in windows]
    return least_over(*days_of(jobs, bounded(limits), [0] * len(limits)))


def _week_last(household: Household, day: int) -> int:
    return min(week_first(day, household.week_start) + 6, MAX_DAY)


def _weeks(household: Household, first: int, last: int) -> Iterator[tuple[int, int]]:
    while first <= last:
        end = _week_last(household, first)
        yield first, end
        first = end + 1


def _months(first: int, last: int) -> Iterator[tuple[int, int]]:
    for index in range(month_index(first), month_index(last) + 1):
        yield max(first, month_first(index)), min(last, month_last(index))


def _day(household: Household, day: int, minutes: int, limit: int | None) -> AheadDay:
    return AheadDay(
        day=date.fromordinal(day),
        away=absence_title(household, "away", day),
        weekend=weekday(day) in household.weekend,
        minutes=minutes,
        limit=limit,
        over=0 if limit is None else max(0, minutes - limit),
    )


def _full_spans(days: Sequence[AheadDay], spans: Iterator[tuple[int, int]]) -> Iterator[FullSpan]:
    start = days[0].day.toordinal()
    for first, last in spans:
        inside = days[first - start : last - start + 1]
        limits = [day.limit for day in inside if day.limit is not None]
        yield FullSpan(
            first=inside[0].day,
            last=inside[-1].day,
            minutes=sum(day.minutes for day in inside),
            limit=sum(limits) if len(limits) == len(inside) else None,
            over=sum(day.over for day in inside),
            days_over=sum(day.over > 0 for day in inside),
        )


def _heaviest(days: Sequence[AheadDay], windows: Sequence[_Asked]) -> Iterator[HeavyDay]:
    ranked = sorted(days, key=lambda day: (-day.over, -day.minutes, day.day))
    chosen = [day for day in ranked[:HEAVIEST] if day.minutes]
    inside: dict[int, list[_Asked]] = {day.day.toordinal(): [] for day in chosen}
    for window in windows:
        if window.day in inside:
            inside[window.day].append(window)
    for day in chosen:
        tasks = tuple(_tasks(inside[day.day.toordinal()]))
        yield HeavyDay(day.day, day.minutes, day.limit, day.over, tasks)


def _tasks(windows: Sequence[_Asked]) -> list[AheadTask]:
    """What each chore puts on a day; the shares of one chore are added up."""
    joined: dict[tuple[object, ...], AheadTask] = {}
    for window in windows:
        one = window.occasion
        key = (one.chore, one.first, one.last, one.is_expected, one.is_late)
        minutes_before = joined[key].minutes if key in joined else 0
        joined[key] = AheadTask(
            chore=one.chore,
            minutes=minutes_before + window.load,
            first=date.fromordinal(one.first),
            last=date.fromordinal(one.last),
            expected=one.is_expected,
            late=one.is_late,
        )
    timed = (task for task in joined.values() if task.minutes)
    return sorted(timed, key=lambda task: -task.minutes)

"""Effect: the minutes that a routine gives to days and people, by the calendar alone.

It covers the 366 days from a day on. The minutes of a window are shared evenly over the days on
which it is asked, and those of an `after done` line over the days of its period. So the figures of
two versions differ only by what was changed. The record is left out for the same reason.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from ledger.calendar.occurrences import period_days
from ledger.calendar.week import MAX_DAY, weekday, weekend_number
from ledger.calendar.windows import Timeline
from ledger.household.model import Household, Routine
from ledger.keeping.history import timelines
from ledger.text.fields import Amount
from ledger.text.values import DAYS

SPAN = 366
WEEK = 7
ANYONE = "anyone"


class Row(NamedTuple):
    """Minutes before and after."""

    name: str
    """What the minutes are of."""
    before: Amount
    """Minutes before the change."""
    after: Amount
    """Minutes after it."""


class Heaviest(NamedTuple):
    """The day that asks for most, and its minutes."""

    day: date
    """The day."""
    minutes: Amount
    """Its minutes."""


class Effect(NamedTuple):
    """What a change does to the days and the people."""

    days: tuple[Row, ...]
    """Each day of the week outside the weekend, on average. Minutes that may be done on several
    days are shared evenly over them."""
    weekends: tuple[Row, ...]
    """Each weekend of the month by its number, its days together, on average."""
    week: Row
    """The seven days together, on average."""
    people: tuple[Row, ...]
    """Minutes a week that each person must do, and that anyone may do."""
    heaviest_before: Heaviest | None
    """The heaviest day before the change; None where nothing falls on any day."""
    heaviest_after: Heaviest | None
    """The heaviest day after it."""


class _Load(NamedTuple):
    """One version: minutes by day from the first on, and by person in all."""

    by_day: list[float]
    by_person: dict[str, float]


class _Share(NamedTuple):
    """Days on which a line of a chore falls."""

    line: int
    """Which of the chore's lines it is."""
    days: range
    parts: float
    """Into how many parts its minutes are split; each day has one."""


def effect(before: Household, after: Household, day: int) -> Effect:
    """The minutes of two versions of a household, side by side, from a day on."""
    old, new = _load(before.on(day), day), _load(after.on(day), day)
    names = dict.fromkeys((*before.people, *after.people, ANYONE))
    weeks = len(new.by_day) / WEEK
    return Effect(
        days=_by_weekday(old, new, after, day),
        weekends=_by_weekend(old, new, after, day),
        week=Row("week", sum(old.by_day) / weeks, sum(new.by_day) / weeks),
        people=tuple(
            Row(name, old.by_person.get(name, 0) / weeks, new.by_person.get(name, 0) / weeks)
            for name in names
        ),
        heaviest_before=_heaviest(old, day),
        heaviest_after=_heaviest(new, day),
    )


def _load(household: Household, first: int) -> _Load:
    last = min(first + SPAN - 1, MAX_DAY)
    load = _Load([0.0] * (last - first + 1), {})
    # Most chores come round on the days of others, and so do the shares of one chore.
    known: dict[Hashable, list[_Share]] = {}
    for chore in household.chores.values():
        for timeline in timelines(household, chore):
            falls = tuple((line.falls, timeline.line_of(line).asked) for line in chore.routines)
            if falls not in known:
                known[falls] = list(_shares(timeline, first, last))
            _add(load, first, timeline, known[falls])
    return load


def _add(load: _Load, first: int, timeline: Timeline, shares: Sequence[_Share]) -> None:
    by_day, by_person, routines = load.by_day, load.by_person, timeline.chore.routines
    for line, days, parts in shares:
        routine = routines[line]
        if not routine.minutes:
            continue
        names, times = _bound(routine, timeline.person)
        share = times * routine.minutes / parts
        for day in days:
            by_day[day - first] += share
        for name in names:
            by_person[name] = by_person.get(name, 0.0) + share * len(days) / len(names)


def _shares(timeline: Timeline, first: int, last: int) -> Iterator[_Share]:
    """The days from `first` to `last` on which the lines of a chore fall."""
    numbers = {id(routine): number for number, routine in enumerate(timeline.chore.routines)}
    for window in timeline.asked_between(first, last):
        number, days = numbers[id(window.routine)], timeline.line_of(window.routine).asked
        parts = days.count(window.first, window.last)
        for low, high in days.runs(max(window.first, first), min(window.last, last)):
            yield _Share(number, range(low, high + 1), parts)
    for routine in timeline.chore.routines:
        if routine.section.is_after_done and not routine.paused:
            period = period_days(routine.section.cadence)
            for low, high in timeline.line_of(routine).asked.runs(first, last):
                yield _Share(numbers[id(routine)], range(low, high + 1), period)


def _bound(routine: Routine, person: str | None) -> tuple[Sequence[str], int]:
    """Who must do a line, and by how many of them it is done at a time. Those who take turns, do it
    together or have a share of their own must, and the only person named; else anyone."""
    form, people = routine.assignment
    if person is not None:
        return (person,), 1
    if form == "together":
        return people, len(people)
    return (people if form == "then" or len(people) == 1 else (ANYONE,)), 1


def _by_weekday(old: _Load, new: _Load, household: Household, first: int) -> tuple[Row, ...]:
    rows = []
    for number in range(WEEK):
        day = (household.week_start + number) % WEEK
        if day not in household.weekend:
            places = range((day - weekday(first)) % WEEK, len(new.by_day), WEEK)
            rows.append(Row(DAYS[day], _mean(old, places), _mean(new, places)))
    return tuple(rows)


def _mean(load: _Load, places: range) -> float:
    return sum(load.by_day[place] for place in places) / max(1, len(places))


def _by_weekend(old: _Load, new: _Load, household: Household, first: int) -> tuple[Row, ...]:
    by_number: dict[int, list[tuple[float, float]]] = {}
    length = len(household.weekend)
    start = first + (household.weekend[0] - weekday(first)) % WEEK
    for day in range(start, first + len(new.by_day) - length + 1, WEEK):
        places = slice(day - first, day - first + length)
        sums = sum(old.by_day[places]), sum(new.by_day[places])
        by_number.setdefault(weekend_number(day), []).append(sums)
    return tuple(
        Row(
            f"weekend {number}",
            sum(before for before, _ in sums) / len(sums),
            sum(after for _, after in sums) / len(sums),
        )
        for number, sums in sorted(by_number.items())
    )


def _heaviest(load: _Load, first: int) -> Heaviest | None:
    most = max(load.by_day, default=0.0)
    if not most:
        return None
    return Heaviest(date.fromordinal(first + load.by_day.index(most)), most)

"""Load: whether the minutes of the windows fit the limits of the days.

The demand criterion: minutes that may be split over the days of their windows fit exactly
when for every span of days the minutes of the windows inside it are no more than the span's
limits together (Baruah, Rosier and Howell, "Algorithms and complexity
concerning the preemptive scheduling of periodic, real-time tasks on one processor", Real-Time
Systems 2, 1990, reported; with a limit a day it is a standard result, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import attrgetter
from typing import NamedTuple

from ledger.calendar.day_lists import kind_of_day
from ledger.calendar.presence import is_away, there
from ledger.calendar.week import weekday
from ledger.household.model import Household, Limit, LimitOf
from ledger.text.values import DAYS


class Demand(NamedTuple):
    """A window, for the criterion."""

    first: int
    last: int
    minutes: int
    label: str
    """The chore's name."""
    own: tuple[tuple[str, int], ...] = ()
    """The people with a limit who surely do it, and the minutes of each."""


class Overload(NamedTuple):
    """A shortest span of days whose windows do not fit its limits."""

    first: int
    last: int
    minutes: int
    limit: int
    chores: tuple[str, ...]


def limit_on(household: Household, day: int) -> int | None:
    """Minutes that fit in a day; None without a limit.

    That is the household's limit or, if it is less and all people who are there have one, the sum
    of theirs. It is 0 on a day on which the household is away.
    """
    if is_away(household, day):
        return 0
    limit = limit_at(household, None, day)
    own = limit.minutes if limit else None
    theirs: list[int] = []
    for name in household.people:
        if there(household, name).holds(day):
            minutes = person_limit(household, name, day)
            if minutes is None:
                return own
            theirs.append(minutes)
    if not theirs:
        return own
    return sum(theirs) if own is None else min(own, sum(theirs))


def limited_people(household: Household) -> tuple[str, ...]:
    """The people with a limit, in the order of the book."""

    def find() -> tuple[str, ...]:
        limited = {of.person for of in household.limits}
        return tuple(name for name in household.people if name in limited)

    return household.remember("limited people", find)


def person_limit(household: Household, person: str, day: int) -> int | None:
    """Minutes that are fair to ask of a person in a day; None without a limit, 0 while away."""
    if is_away(household, day, person):
        return 0
    limit = limit_at(household, person, day)
    return limit.minutes if limit else None


def limit_at(household: Household, person: str | None, day: int) -> Limit | None:
    """The line of the book that limits the day of a person, or for None of the household: that of
    the first kind of day that has one. Kinds are named days, the day of the week, weekday or
    weekend, any day."""
    limits = household.limits
    named = [
        limit
        for of, limit in limits.items()
        if of.person == person
        and of.kind is not None
        and of.kind in household.named_days
        and kind_of_day(household, of.kind).holds(day)
    ]
    if named:
        return min(named, key=attrgetter("minutes"))
    kind = "weekend" if weekday(day) in household.weekend else "weekday"
    kinds = (LimitOf(person, one) for one in (DAYS[weekday(day)], kind, None))
    return next((limits[of] for of in kinds if of in limits), None)


def overloads(
    demands: Sequence[Demand], limits: Sequence[int | None], start: int
) -> list[Overload]:
    """The shortest spans that do not fit, in order of their last day; none contains another.

    `limits` has one entry a day from `start` on; a day without a limit holds anything. Windows
    that reach outside those days are ignored.
    """
    days = len(limits)
    by_last: dict[int, list[Demand]] = {}
    by_first: dict[int, list[int]] = {}
    for number, demand in enumerate(demands):
        if start <= demand.first and demand.last < start + days:
            by_last.setdefault(demand.last - start, []).append(demand)
            by_first.setdefault(demand.first - start, []).append(number)
    # Minutes of the windows that open on a day and close by the day reached so far.
    opened = [0] * days
    spans: list[tuple[int, int]] = []
    floor = asked = 0
    for last in sorted(by_last):
        for demand in by_last[last]:
            opened[demand.first - start] += demand.minutes
            if demand.first - start >= floor:
                asked += demand.minutes
        first = _overloaded_from(opened, limits, last, asked)
        if first is not None:
            spans.append((first, last))
            # A span that begins no later would contain this one.
            floor = first + 1
            asked = sum(opened[floor : last + 1])
    overloads = []
    for first, last in spans:
        opening = sorted(n for day in range(first, last + 1) for n in by_first.get(day, ()))
        inside = [demands[n] for n in opening if demands[n].last <= last + start]
        overloads.append(_overload(inside, limits, start, first, last))
    return overloads


def _overloaded_from(
    opened: Sequence[int], limits: Sequence[int | None], last: int, asked: int
) -> int | None:
    """The latest first day from which the minutes do not fit. `asked` is the sum of those that
    open on the days that are looked at, which end with `last`."""
    room = 0
    for first in range(last, -1, -1):
        # What is left to ask cannot take more than the room there is.
        if asked <= room:
            return None
        limit = limits[first]
        if limit is None:
            return None
        asked -= opened[first]
        room += limit - opened[first]
        if room < 0:
            return first
    return None


def _overload(
    inside: Sequence[Demand],
    limits: Sequence[int | None],
    start: int,
    first: int,
    last: int,
) -> Overload:
    room = sum(limit or 0 for limit in limits[first : last + 1])
    chores = tuple(dict.fromkeys(d.label for d in inside))
    return Overload(first + start, last + start, sum(d.minutes for d in inside), room, chores)

"""Load: whether the minutes of the windows fit the limits of the days.

The demand criterion: minutes that may be split over the days of their windows fit exactly
when for every span of days the minutes of the windows inside it are no more than the span's
limits together (Baruah, Rosier and Howell, "Algorithms and complexity
concerning the preemptive scheduling of periodic, real-time tasks on one processor", Real-Time
Systems 2, 1990, reported; with a limit a day it is a standard result, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ledger.calendar.absence import away_spans, is_away
from ledger.calendar.week import weekday
from ledger.household.model import Household
from ledger.text.values import DAYS


class Demand(NamedTuple):
    """A window, for the criterion."""

    first: int
    last: int
    minutes: int
    label: str
    """The chore's name."""


class Overload(NamedTuple):
    """A shortest span of days whose windows do not fit its limits."""

    first: int
    last: int
    minutes: int
    limit: int
    chores: tuple[str, ...]


def limit_of(household: Household, day: int) -> int | None:
    """Minutes that fit in a day: the limit of its name, else of its kind; None without a limit.

    They are 0 on a day on which the household is away.
    """
    if is_away(day, away_spans(household)):
        return 0
    kind = "weekend" if weekday(day) in household.weekend else "weekday"
    for who in (DAYS[weekday(day)], kind):
        if who in household.limits:
            return household.limits[who].minutes
    return None


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
    floor = 0
    for last in sorted(by_last):
        for demand in by_last[last]:
            opened[demand.first - start] += demand.minutes
        first = _overloaded_from(opened, limits, last, floor)
        if first is not None:
            spans.append((first, last))
            # A span that begins no later would contain this one.
            floor = first + 1
    overloads = []
    for first, last in spans:
        opening = sorted(n for day in range(first, last + 1) for n in by_first.get(day, ()))
        inside = [demands[n] for n in opening if demands[n].last <= last + start]
        overloads.append(_overload(inside, limits, start, first, last))
    return overloads


def _overloaded_from(
    opened: Sequence[int], limits: Sequence[int | None], last: int, floor: int
) -> int | None:
    """The latest first day, not before `floor`, from which the minutes do not fit."""
    room = 0
    for first in range(last, floor - 1, -1):
        limit = limits[first]
        if limit is None:
            return None
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

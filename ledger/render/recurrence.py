"""Recurrence: spans of days as few rules of RFC 5545 (sections 3.3.10 and 3.8.5).

All spans of one length are one RRULE, less some days (EXDATE). An RDATE is never needed: programs
in common use ignore it, or ignore what has one and no RRULE ([MS-OXCICAL], 2.1.3.1.1.20.18).

A rule is looked for among those that the days themselves suggest; the one that is told in fewest
bytes is taken. Each was expanded by `dateutil.rrule` first and has the days it is said to have.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from itertools import pairwise
from math import gcd
from typing import NamedTuple, TypeVar

from dateutil.rrule import rrulestr

from ledger.calendar.week import (
    MONTHS_A_YEAR,
    in_month,
    month_first,
    month_index,
    month_last,
    month_of,
    week_first,
    weekday,
)
from ledger.household.model import Span
from ledger.text.values import DAYS

T = TypeVar("T")

WEEK, SHORTEST_MONTH, LONGEST_MONTH = 7, 28, 31
DAY_CODES = tuple(day[:2].upper() for day in DAYS)
_DATE, _LIST = 9, 21
"""About the bytes of a date in a list, and of a list without dates."""
_UNUSUAL = 40
"""So many bytes may be spent to say `every april` and not `every 365 days`."""


class Part(NamedTuple):
    """Spans of one length, which one component holds. All days are ordinals."""

    first: int
    """The first day of the first span: DTSTART."""
    length: int
    """The days of each span."""
    rule: str = ""
    """The RRULE without its UNTIL; empty for a single span."""
    until: int = 0
    """The last day on which the rule opens a span: UNTIL."""
    excepted: tuple[int, ...] = ()
    """Days of the rule on which no span opens: EXDATE."""

    @property
    def size(self) -> int:
        """About the bytes that the rule and its exceptions take."""
        return len(self.rule) + (_LIST + _DATE * len(self.excepted) if self.excepted else 0)


@dataclass(frozen=True)
class _Rule:
    """A rule that some days suggest, which has all of them."""

    text: str
    """The RRULE without UNTIL."""
    interval: int
    phase: int
    """The number of its days, weeks or months, over the interval, leaves this rest."""
    day_of: Callable[[int], Iterable[int]]
    """Its days in a period of a number."""
    number_of: Callable[[int], int]
    """The number of the period that holds a day."""
    months: frozenset[int]
    """The months that it is kept to; none for all."""

    def days(self, low: int, high: int) -> list[int]:
        """Its days from one day to another, in order."""
        start, end = self.number_of(low), self.number_of(high)
        start += (self.phase - start) % self.interval
        found = (
            day
            for number in range(start, end + 1, self.interval)
            for day in self.day_of(number)
            if low <= day <= high and (not self.months or month_of(day) in self.months)
        )
        return sorted(found)


def parts_of(spans: Iterable[Span], week_start: int = 0) -> list[Part]:
    """A part for each length of some spans of days, the shorter first. Weeks begin on the weekday
    `week_start`."""
    by_length: dict[int, set[int]] = {}
    for first, last in spans:
        by_length.setdefault(last - first + 1, set()).add(first)
    return [_part(sorted(days), length, week_start) for length, days in sorted(by_length.items())]


def expand(rule: str, first: int, until: int) -> list[int]:
    """The days of a rule up to a day, as `dateutil.rrule` has them."""
    start, end = (datetime.fromordinal(day) for day in (first, until))
    return [when.toordinal() for when in rrulestr(f"{rule};UNTIL={end:%Y%m%d}", dtstart=start)]


def _part(days: Sequence[int], length: int, week_start: int) -> Part:
    """The part that holds spans of one length, by their first days."""
    first, until, wanted = days[0], days[-1], set(days)
    if first == until:
        return Part(first, length)
    found = []
    for rule in _suggested(days, week_start):
        excepted = tuple(day for day in rule.days(first, until) if day not in wanted)
        part = Part(first, length, rule.text, until, excepted)
        is_unusual = rule.text.startswith("FREQ=DAILY") and rule.interval > LONGEST_MONTH
        found.append((part.size + _UNUSUAL * is_unusual, part))
    for _, part in sorted(found):
        if expand(part.rule, first, until) == sorted((*days, *part.excepted)):
            return part
    raise AssertionError(f"no rule has the days {days}")


# ---------------------------------------------------------------------------- what days suggest


def _suggested(days: Sequence[int], week_start: int) -> Iterator[_Rule]:
    """The rules that some days suggest, and last one that all days have."""
    months = frozenset(map(month_of, days))
    kept = [frozenset[int]()]
    if len(months) < MONTHS_A_YEAR and days[-1] - days[0] > 366 - LONGEST_MONTH:
        kept.append(months)
    for some in kept:
        yield from _daily(days, some)
        yield from _weekly(days, week_start, some)
        yield from _monthly(days, some)
    yield _every_so_many(days, 1, frozenset())


def _text(frequency: str, interval: int, months: Iterable[int], *parts: str) -> str:
    by_month = [f"BYMONTH={_joined(sorted(months))}"] if months else []
    every = [f"INTERVAL={interval}"] if interval > 1 else []
    return ";".join([f"FREQ={frequency}", *every, *by_month, *parts])


def _daily(days: Sequence[int], months: frozenset[int]) -> Iterator[_Rule]:
    interval = _step(days)
    # What comes every so many weeks is said in weeks.
    if interval % WEEK:
        yield _every_so_many(days, interval, months)


def _every_so_many(days: Sequence[int], interval: int, months: frozenset[int]) -> _Rule:
    text, phase = _text("DAILY", interval, months), days[0] % interval
    return _Rule(text, interval, phase, lambda day: (day,), lambda day: day, months)


def _weekly(days: Sequence[int], week_start: int, months: frozenset[int]) -> Iterator[_Rule]:
    origin = week_first(days[0], week_start)
    number_of, weekdays = partial(_week_of, origin), sorted(set(map(weekday, days)))
    offsets = [(one - week_start) % WEEK for one in weekdays]
    interval = _step(list(map(number_of, days)))
    parts = [f"BYDAY={_joined(DAY_CODES[one] for one in weekdays)}"]
    if interval > 1 and len(offsets) > 1:
        parts.append(f"WKST={DAY_CODES[week_start]}")
    text = _text("WEEKLY", interval, months, *parts)
    yield _Rule(text, interval, 0, partial(_days_of_week, origin, offsets), number_of, months)


def _week_of(origin: int, day: int) -> int:
    return (day - origin) // WEEK


def _days_of_week(origin: int, offsets: Iterable[int], week: int) -> Iterable[int]:
    return (origin + WEEK * week + offset for offset in offsets)


def _monthly(days: Sequence[int], months: frozenset[int]) -> Iterator[_Rule]:
    """Rules by the day of the month, counted from its beginning or with its last day called so, and
    by the weekday, counted from its beginning or with the last one called so."""
    for name_of, day_of, code in (
        (_month_day, _of_month_day, "BYMONTHDAY"),
        (_month_day_or_last, _of_month_day, "BYMONTHDAY"),
        (_place, _of_place, "BYDAY"),
        (_place_or_last, _of_place, "BYDAY"),
        (_all_of_weekday, _of_place, "BYDAY"),
    ):
        names: list[_Name] = sorted({name_of(day) for day in days})
        interval, phase = _step(list(map(month_index, days))), month_index(days[0])
        text = _monthly_text(interval, phase, months, names, code)
        if text:
            on_days = partial(_days_in, names, day_of)
            yield _Rule(text, interval, phase % interval, on_days, month_index, months)


def _monthly_text(
    interval: int, phase: int, months: frozenset[int], names: list[_Name], code: str
) -> str:
    """A rule by some days of a month; empty where it can be said only in a way that ical.js 2.2.1,
    which calendar programs are made with, misreads: a yearly rule whose months lack one of the
    days, or whose last day is named, and a monthly one of some months with an interval, or with
    several days."""
    parts = f"{code}={_joined(map(_code, names))}"
    in_all = all(day != NO_WEEKDAY or 0 < number <= SHORTEST_MONTH for number, day in names)
    if in_all and interval % MONTHS_A_YEAR == 0:
        return _text("YEARLY", interval // MONTHS_A_YEAR, {phase % MONTHS_A_YEAR + 1}, parts)
    if months and interval == 1 and in_all:
        return _text("YEARLY", 1, months, parts)
    if months and (interval > 1 or names != [(-1, NO_WEEKDAY)]):
        return ""
    return _text("MONTHLY", interval, months, parts)


_Name = tuple[int, int]
"""A day in its month: a number, -1 for the last, and its weekday or NO_WEEKDAY. With a weekday the
number says which of them in the month; 0 is every one."""
NO_WEEKDAY = -1


def _month_day(day: int) -> _Name:
    return day - month_first(month_index(day)) + 1, NO_WEEKDAY


def _month_day_or_last(day: int) -> _Name:
    return (-1, NO_WEEKDAY) if day == month_last(month_index(day)) else _month_day(day)


def _place(day: int) -> _Name:
    return (day - month_first(month_index(day))) // WEEK + 1, weekday(day)


def _place_or_last(day: int) -> _Name:
    return (-1, weekday(day)) if day + WEEK > month_last(month_index(day)) else _place(day)


def _all_of_weekday(day: int) -> _Name:
    return 0, weekday(day)


def _days_in(
    names: Collection[_Name], day_of: Callable[[int, _Name], Iterable[int]], month: int
) -> Iterable[int]:
    last = month_last(month)
    return {day for name in names for day in day_of(month, name) if day <= last}


def _of_month_day(month: int, name: _Name) -> Iterable[int]:
    number, _ = name
    return (month_last(month) if number < 0 else month_first(month) + number - 1,)


def _of_place(month: int, name: _Name) -> Iterable[int]:
    number, day = name
    all_days = range(in_month(month, day), month_last(month) + 1, WEEK)
    if number == 0:
        return all_days
    return all_days[-1:] if number < 0 else all_days[number - 1 : number]


def _code(name: _Name) -> str:
    number, day = name
    if day == NO_WEEKDAY:
        return str(number)
    return f"{number or ''}{DAY_CODES[day]}"


def _joined(parts: Iterable[object]) -> str:
    return ",".join(map(str, parts))


def _step(numbers: Sequence[int]) -> int:
    """The largest step in which some numbers in order go up; 1 for one number alone."""
    return gcd(*(later - earlier for earlier, later in pairwise(numbers))) or 1

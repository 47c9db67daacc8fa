"""Recurrence: spans of days as few rules of RFC 5545 (sections 3.3.10 and 3.8.5).

A rule is looked for among those that the days themselves suggest. Every one that is given was
expanded by `dateutil.rrule` first and has the days it is said to have. Days that no rule has, and
days of a rule that are none, are listed beside it; where that takes more bytes than to list all
days, they are listed without a rule.
"""

from __future__ import annotations

from collections import Counter
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

T = TypeVar("T")

WEEK = 7
DAY_CODES = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
FEWEST = 3
"""Fewer days are listed: two days need no rule."""
_DATE, _LIST, _RULE = 9, 21, 23
"""About the bytes of a date in a list, of a list without dates, and of a rule without its parts."""
_RELIANCE = 60
"""What a list of days beside or without a rule weighs more than its bytes: fewer programs read an
RDATE than an RRULE and its EXDATE."""
_COMPONENT = 500
"""About the bytes of one more component, which repeats all texts."""


class Part(NamedTuple):
    """Spans of one length that one component holds. All days are ordinals."""

    first: int
    """The first day of the first span: DTSTART."""
    length: int
    """The days of each span."""
    rule: str = ""
    """The RRULE without its UNTIL; empty if all spans are listed."""
    until: int = 0
    """The last day on which the rule opens a span: UNTIL."""
    extra: tuple[int, ...] = ()
    """First days of other spans, none before `first`: RDATE."""
    excepted: tuple[int, ...] = ()
    """Days of the rule on which no span opens: EXDATE."""
    is_before: bool = False
    """True for days that lie before the first one of a rule, which is in a part of its own: DTSTART
    must be the first day and fit the rule (RFC 5545, section 3.8.5.3)."""

    def expanded(self) -> list[int]:
        """The first days of its spans, as `dateutil.rrule` has them."""
        ruled = expand(self.rule, self.first, self.until) if self.rule else [self.first]
        return sorted({*ruled, *self.extra} - set(self.excepted))


@dataclass(frozen=True)
class _Rule:
    """A rule that some days suggest."""

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
    """As few parts as hold some spans of days, which are asked for once each: the parts of each
    length together. Weeks begin on the weekday `week_start`."""
    by_length: dict[int, set[int]] = {}
    for first, last in spans:
        by_length.setdefault(last - first + 1, set()).add(first)
    return [
        part
        for length, days in sorted(by_length.items())
        for part in _parts(sorted(days), length, week_start)
    ]


def expand(rule: str, first: int, until: int) -> list[int]:
    """The days of a rule up to a day, as `dateutil.rrule` has them."""
    start, end = (datetime.fromordinal(day) for day in (first, until))
    return [when.toordinal() for when in rrulestr(f"{rule};UNTIL={end:%Y%m%d}", dtstart=start)]


def _parts(days: Sequence[int], length: int, week_start: int) -> list[Part]:
    """The parts that hold spans of one length, by their first days."""
    listed = Part(days[0], length, extra=tuple(days[1:]))
    if len(days) < FEWEST:
        return [listed]
    tried = (_with_rule(rule, days, length) for rule in _suggested(days, week_start))
    found = [[listed], *(parts for parts in tried if parts)]
    for parts in sorted(found, key=lambda parts: sum(map(_size, parts))):
        if all(not part.rule or _is_proven(part, days) for part in parts):
            return parts
    return [listed]


def _with_rule(rule: _Rule, days: Sequence[int], length: int) -> list[Part]:
    """The parts with a rule and all that differs from it; none if it has none of the days."""
    wanted = set(days)
    ruled = rule.days(days[0], days[-1])
    first = next((day for day in ruled if day in wanted), None)
    if first is None:
        return []
    ruled = [day for day in ruled if day >= first]
    until = max(wanted.intersection(ruled))
    others = sorted(wanted.difference(ruled))
    before = [day for day in others if day < first]
    main = Part(
        first,
        length,
        rule.text,
        until,
        tuple(day for day in others if day > first),
        tuple(day for day in ruled if day not in wanted and day <= until),
    )
    if not before:
        return [main]
    return [Part(before[0], length, extra=tuple(before[1:]), is_before=True), main]


def _size(part: Part) -> int:
    """About the bytes that a part takes, and more for what fewer programs read."""
    lists = (part.extra, part.excepted)
    return (
        _COMPONENT
        + (_RULE + len(part.rule) if part.rule else 0)
        + (_RELIANCE if part.extra else 0)
        + sum(_LIST + _DATE * len(one) for one in lists if one)
    )


def _is_proven(part: Part, days: Sequence[int]) -> bool:
    """True if a part with a rule has just its days, by `dateutil.rrule`."""
    return part.expanded() == [day for day in days if day >= part.first]


# ---------------------------------------------------------------------------- what days suggest


def _suggested(days: Sequence[int], week_start: int) -> Iterator[_Rule]:
    """The rules that some days suggest."""
    months = frozenset(map(month_of, days))
    kept = [frozenset[int]()]
    if len(months) < MONTHS_A_YEAR and days[-1] - days[0] > 366 - 31:
        kept.append(months)
    for some in kept:
        yield from _daily(days, some)
        yield from _weekly(days, week_start, some)
        yield from _monthly(days, some)


def _text(frequency: str, interval: int, months: Iterable[int], *parts: str) -> str:
    by_month = [f"BYMONTH={_joined(sorted(months))}"] if months else []
    every = [f"INTERVAL={interval}"] if interval > 1 else []
    return ";".join([f"FREQ={frequency}", *every, *by_month, *parts])


def _daily(days: Sequence[int], months: frozenset[int]) -> Iterator[_Rule]:
    for interval, phase in _steps(days):
        # What comes every so many weeks is said in weeks.
        if interval % WEEK:
            text = _text("DAILY", interval, months)
            yield _Rule(text, interval, phase, lambda day: (day,), lambda day: day, months)


def _weekly(days: Sequence[int], week_start: int, months: frozenset[int]) -> Iterator[_Rule]:
    origin = week_first(days[0], week_start)
    number_of, day_of = partial(_week_of, origin), partial(_days_of_week, origin)
    for some in _common(list(map(weekday, days))):
        offsets = [(one - week_start) % WEEK for one in some]
        ours = {number_of(day) for day in days if weekday(day) in some}
        for interval, phase in _steps(sorted(ours)):
            parts = [f"BYDAY={_joined(DAY_CODES[one] for one in sorted(some))}"]
            if interval > 1 and len(offsets) > 1:
                parts.append(f"WKST={DAY_CODES[week_start]}")
            text = _text("WEEKLY", interval, months, *parts)
            yield _Rule(text, interval, phase, partial(day_of, offsets), number_of, months)


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
        names: list[_Name] = [name_of(day) for day in days]
        for some in _common(names):
            ours = [day for day, name in zip(days, names, strict=True) if name in some]
            on_days = partial(_days_in, some, day_of)
            parts = f"{code}={_joined(map(_code, sorted(some)))}"
            for interval, phase in _steps(sorted(set(map(month_index, ours)))):
                text = _text("MONTHLY", interval, months, parts)
                if interval % MONTHS_A_YEAR == 0:
                    years, month = interval // MONTHS_A_YEAR, phase % MONTHS_A_YEAR + 1
                    text = _text("YEARLY", years, {month}, parts)
                elif months and interval == 1:
                    text = _text("YEARLY", 1, months, parts)
                yield _Rule(text, interval, phase, on_days, month_index, months)


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


def _common(names: Sequence[T]) -> Iterator[frozenset[T]]:
    """The names of some days: all of them, and those that are not rare, if these are fewer. None
    where few come twice: they would tell no more than a list."""
    counts = Counter(names)
    often = max(counts.values()) / 3
    for some in dict.fromkeys(
        (frozenset(counts), frozenset(name for name, count in counts.items() if count >= often))
    ):
        if len(some) * 2 <= len(names):
            yield some


def _steps(numbers: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Steps in which some numbers may go up, each with the rest that most of them leave: the
    largest that fits all, and the commonest. One number alone goes up by one."""
    gaps = [later - earlier for earlier, later in pairwise(numbers)] or [1]
    for step in dict.fromkeys((gcd(*gaps), Counter(gaps).most_common(1)[0][0])):
        rests = Counter(number % step for number in numbers)
        yield step, rests.most_common(1)[0][0]

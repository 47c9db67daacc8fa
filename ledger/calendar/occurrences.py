"""Occurrences: when a section comes round, by its cadence alone.

Counting starts at the days asked for, never at the anchor: a week costs the same whether the
anchor is a month or a thousand years back.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from math import gcd
from typing import NamedTuple, assert_never

from ledger.calendar.week import (
    CYCLE,
    MAX_DAY,
    MONTHS_A_YEAR,
    in_month,
    month_first,
    month_index,
    month_last,
    week_first,
    weekday,
)
from ledger.household.model import Span
from ledger.text.parts import Cadence, MonthDay

YEAR = 365.25
MONTH = YEAR / MONTHS_A_YEAR


class Rhythm(NamedTuple):
    """A cadence, with all of its household and section that decides its days."""

    cadence: Cadence
    anchor: int
    """The day from which `every N` counts."""
    week_start: int
    weekend: tuple[int, ...]


def cadence_spans(rhythm: Rhythm, within: int | None, low: int, high: int) -> Iterator[Span]:
    """The spans of a cadence that open from `low` to `high`, in order and without overlap.

    `within` makes each so many days long. They are not cut to days in force. `after-done` has none
    here: the record decides its windows.
    """
    if within is None:
        yield from _parted(rhythm, low, high)
        return
    pending: Span | None = None
    # The next opening after `high` may close the last window.
    for first, _ in _parted(rhythm, low, min(high + within, MAX_DAY)):
        if pending is not None:
            yield pending[0], min(pending[1], first - 1)
        if first > high:
            return
        pending = first, min(first + within - 1, MAX_DAY)
    if pending is not None:
        yield pending


def _parted(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    """The spans of a cadence that open from `low` to `high`; those of `N times` are parts."""
    cadence = rhythm.cadence
    if cadence.times == 1:
        yield from falling(rhythm, low, high)
        return
    for period in periods(rhythm, max(low - longest_period(cadence) + 1, 1), high):
        yield from parts(period, cadence.times, low, high)


def parts(period: Span, times: int, low: int, high: int) -> Iterator[Span]:
    """A period in parts whose lengths differ by at most a day, the longer ones first: those that
    begin from `low` to `high`."""
    first, last = period
    length, longer = divmod(last - first + 1, times)

    def begin(number: int) -> int:
        return first + number * length + min(number, longer)

    # Of 9999 parts of some centuries only those of a few days are asked for.
    for number in range(bisect_left(range(times), low, key=begin), times):
        if begin(number) > high:
            return
        yield begin(number), begin(number + 1) - 1


def periods(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    """The whole periods of `N times every ...` that begin from `low` to `high`."""
    every = rhythm.cadence.every
    for first, _ in falling(rhythm, low, high):
        if rhythm.cadence.kind == "week":
            yield first, min(first + 7 * every - 1, MAX_DAY)
        else:
            yield first, month_last(month_index(first) + every - 1)


def period_at(rhythm: Rhythm, day: int) -> Span | None:
    """The period of `N times every ...` that holds a day, or None."""
    low = max(day - longest_period(rhythm.cadence) + 1, 1)
    return next((one for one in periods(rhythm, low, day) if one[1] >= day), None)


def longest_period(cadence: Cadence) -> int:
    """An upper bound on the days of a period of weeks or months."""
    return cadence.every * (7 if cadence.kind == "week" else 31)


def longest(cadence: Cadence, within: int | None) -> int:
    """An upper bound, in days, on the length of the spans of a cadence."""
    if within is not None:
        return within
    if cadence.on or cadence.days:
        return 1
    match cadence.kind:
        case "day" | "weekday" | "named-day" | "after-done":
            return 1
        case "weekend" | "numbered-weekend":
            return 3
        case "week":
            return 7 if cadence.times == 1 else longest_period(cadence)
        case "month" | "named-month":
            return 31 if cadence.times == 1 else longest_period(cadence)
        case "once":
            return cadence.last - cadence.first + 1
    assert_never(cadence.kind)


def period_days(cadence: Cadence, weekend_days: int = 2) -> float:
    """Days from one window to the next on average; for `once`, the length of its span.

    A season does not stretch it: a chore done weekly from April to October is weekly.
    """
    if cadence.times > 1:
        return period_days(cadence._replace(times=1), weekend_days) / cadence.times
    match cadence.kind:
        case "day" | "after-done":
            return float(cadence.every)
        case "weekday":
            return 7 / (7 - weekend_days)
        case "weekend":
            return 7.0
        case "numbered-weekend":
            return MONTH / len(cadence.weekends)
        case "named-day":
            return 7 / len(cadence.days)
        case "week":
            return 7 * cadence.every / max(1, len(cadence.days))
        case "month":
            return MONTH * cadence.every / _times(cadence.on)
        case "named-month":
            return YEAR / len(cadence.months) / _times(cadence.on)
        case "once":
            return float(cadence.last - cadence.first + 1)
    assert_never(cadence.kind)


def _times(on: tuple[MonthDay, ...]) -> float:
    """How often the days after `on` come round in a month; every Friday is 4.35 times."""
    if not on:
        return 1
    return sum(MONTH / 7 if day.weekday is not None and day.number == 0 else 1 for day in on)


def is_stepped(cadence: Cadence) -> bool:
    """True for a cadence that counts days or weeks, whatever the month."""
    return cadence.kind in ("day", "week")


def falling(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    """The spans of a cadence that begin from `low` to `high`, in order."""
    low = max(low, 1)
    match rhythm.cadence.kind:
        case "day":
            return _each_day(rhythm, low, high)
        case "weekday":
            return _each_weekday(rhythm, low, high)
        case "weekend":
            return _weekends(rhythm, low, high)
        case "numbered-weekend":
            return _numbered_weekends(rhythm, low, high)
        case "named-day":
            return _named_days(rhythm, low, high)
        case "week":
            return _weeks(rhythm, low, high)
        case "month" | "named-month":
            return _months(rhythm, low, high)
        case "once":
            return _once(rhythm, low, high)
        case "after-done":
            return iter(())
    assert_never(rhythm.cadence.kind)


def _each_day(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    step = rhythm.cadence.every
    for day in range(low + (rhythm.anchor - low) % step, high + 1, step):
        yield day, day


def _each_weekday(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    for day in range(low, high + 1):
        if weekday(day) not in rhythm.weekend:
            yield day, day


def _named_days(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    days = rhythm.cadence.days
    for week in range(week_first(low, 0), high + 1, 7):
        for day in days:
            if low <= week + day <= high:
                yield week + day, week + day


def _weekends(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    length = len(rhythm.weekend)
    start = low + (rhythm.weekend[0] - weekday(low)) % 7
    for first in range(start, high + 1, 7):
        yield first, min(first + length - 1, MAX_DAY)


def _numbered_weekends(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    length = len(rhythm.weekend)
    for month in range(month_index(low), month_index(high) + 1):
        first, last = in_month(month, rhythm.weekend[0]), month_last(month)
        firsts = range(first, last + 1, 7)
        wanted = {
            firsts[n if n < 0 else n - 1] for n in rhythm.cadence.weekends if n <= len(firsts)
        }
        for day in sorted(wanted):
            if low <= day <= high:
                yield day, min(day + length - 1, MAX_DAY)


def _weeks(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    cadence, step = rhythm.cadence, 7 * rhythm.cadence.every
    anchor = week_first(rhythm.anchor, rhythm.week_start)
    # Named days come in the order of the household's week.
    offsets = sorted((day - rhythm.week_start) % 7 for day in cadence.days)
    start = week_first(low, rhythm.week_start)
    for week in range(start + (anchor - start) % step, high + 1, step):
        if not offsets and week >= low:
            yield week, min(week + 6, MAX_DAY)
        for offset in offsets:
            if low <= week + offset <= high:
                yield week + offset, week + offset


def _months(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    cadence, step = rhythm.cadence, rhythm.cadence.every
    start = month_index(low)
    start += (month_index(rhythm.anchor) - start) % step
    months = cadence.months or range(1, MONTHS_A_YEAR + 1)
    empty_months, cycle = 0, CYCLE // gcd(step, CYCLE)
    for month in range(start, month_index(high) + 1, step):
        falls = False
        if month % MONTHS_A_YEAR + 1 in months:
            for span in _in_month(cadence, month, low, high):
                falls = True
                yield span
        # No month of a whole cycle, and the partial first one, has a day: none ever will.
        empty_months = 0 if falls else empty_months + 1
        if empty_months > cycle:
            return


def _in_month(cadence: Cadence, month: int, low: int, high: int) -> Iterator[Span]:
    if not cadence.on:
        first = month_first(month)
        if low <= first <= high:
            yield first, month_last(month)
        return
    days = {day for item in cadence.on for day in _days_of_item(item, month)}
    for day in sorted(days):
        if low <= day <= high:
            yield day, day


def _days_of_item(item: MonthDay, month: int) -> list[int]:
    """The days of a month for one item of `on`; empty if the month has none."""
    last = month_last(month)
    if item.weekday is None:
        day = last if item.number < 0 else month_first(month) + item.number - 1
        return [day] if day <= last else []
    days = range(in_month(month, item.weekday), last + 1, 7)
    if item.number == 0:
        return list(days)
    if item.number < 0:
        return [days[-1]]
    return [days[item.number - 1]] if item.number <= len(days) else []


def _once(rhythm: Rhythm, low: int, high: int) -> Iterator[Span]:
    if low <= rhythm.cadence.first <= high:
        yield rhythm.cadence.first, rhythm.cadence.last

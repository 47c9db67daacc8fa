"""What windows a section has, worked out again: dates by dateutil's recurrence rules (RFC 5545)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from books import Span
from dateutil.relativedelta import relativedelta
from dateutil.rrule import DAILY, MONTHLY, WEEKLY, rrule, weekdays

from ledger.text.tree import Cadence, MonthDay


@dataclass(frozen=True)
class Calendar:
    """A household's week, and the day from which `every N` counts."""

    week_start: int
    weekend: tuple[int, ...]
    anchor: int


_UNITS = {"week": 7, "month": 31}


def _moment(ordinal: int) -> datetime:
    return datetime.combine(date.fromordinal(ordinal), datetime.min.time())


def _month_start(ordinal: int) -> datetime:
    return _moment(ordinal).replace(day=1)


def _week_start(ordinal: int, calendar: Calendar) -> datetime:
    moment = _moment(ordinal)
    return moment - timedelta((moment.weekday() - calendar.week_start) % 7)


def _month_last(first: int) -> int:
    moment = _moment(first)
    following = (moment + timedelta(31)).replace(day=1)
    return following.toordinal() - 1


def _monthly(item: MonthDay, start: datetime, count: int, months: tuple[int, ...] | None) -> rrule:
    """The monthly rule of one item of `on`."""
    if item.weekday is None:
        return rrule(MONTHLY, start, interval=count, bymonth=months, bymonthday=item.number)
    named = weekdays[item.weekday](item.number) if item.number else weekdays[item.weekday]
    return rrule(MONTHLY, start, interval=count, bymonth=months, byweekday=named)


def _first_days(rules: Sequence[rrule], low: int, high: int) -> list[int]:
    """The days of any of the rules, from low to high."""
    found = {
        moment.toordinal()
        for rule in rules
        for moment in rule.between(_moment(low), _moment(high), inc=True)
    }
    return sorted(found)


def _rules(cadence: Cadence, calendar: Calendar, low: int) -> Iterator[rrule]:
    """The cadence as rules whose days are the first days of its windows.

    A rhythm runs both ways from the day it counts from: a window of many days may have opened
    before the dates in force, and is cut to them.
    """
    count, anchor = cadence.every, calendar.anchor
    week = _week_start(low, calendar)
    month = _month_start(low)
    steps = max(0, anchor - low) // (count * _UNITS.get(cadence.kind, 1)) + 1
    match cadence.kind:
        case "day":
            yield rrule(DAILY, _moment(anchor - steps * count), interval=count)
        case "weekday":
            yield rrule(WEEKLY, week, byweekday=[d for d in range(7) if d not in calendar.weekend])
        case "weekend":
            yield rrule(WEEKLY, week, byweekday=calendar.weekend[0])
        case "numbered-weekend":
            first = weekdays[calendar.weekend[0]]
            yield rrule(MONTHLY, month, byweekday=[first(n) for n in cadence.weekends])
        case "named-day":
            yield rrule(WEEKLY, week, byweekday=cadence.days)
        case "week":
            yield rrule(
                WEEKLY,
                _week_start(anchor - 7 * steps * count, calendar),
                interval=count,
                wkst=calendar.week_start,
                byweekday=cadence.days or [calendar.week_start],
            )
        case "month" | "named-month":
            start = month
            if count > 1:
                start = _month_start(anchor) - relativedelta(months=steps * count)
            for item in cadence.on or (MonthDay(1, None),):
                yield _monthly(item, start, count, cadence.months or None)


def expected_spans(cadence: Cadence, calendar: Calendar, low: int, high: int) -> list[Span]:
    """The spans of a cadence that begin from low to high, nothing cut yet; `once` in any case."""
    if cadence.kind == "once":
        return [(cadence.first, cadence.last)]
    firsts = _first_days(list(_rules(cadence, calendar, low)), low, high)
    if cadence.on or cadence.days:
        return [(first, first) for first in firsts]
    match cadence.kind:
        case "weekend" | "numbered-weekend":
            return [(first, first + len(calendar.weekend) - 1) for first in firsts]
        case "week":
            return [(first, first + 6) for first in firsts]
        case "month" | "named-month":
            return [(first, _month_last(first)) for first in firsts]
        case _:
            return [(first, first) for first in firsts]


def in_season(first: int, season: tuple[int, int] | None) -> bool:
    """True for a day whose month is met on the way from the first month to the last."""
    if season is None:
        return True
    month, last = season
    named = {month}
    while month != last:
        month = month % 12 + 1
        named.add(month)
    return date.fromordinal(first).month in named


def kept(
    spans: Sequence[Span], season: tuple[int, int] | None, within: int | None, force: Span
) -> list[Span]:
    """The spans as a header keeps them: to a season, to a length, to the dates in force."""
    found = [span for span in spans if in_season(span[0], season)]
    if within is not None:
        found = [(first, first + within - 1) for first, _ in found]
    closed = [
        (first, min(last, following - 1))
        for (first, last), following in zip(
            found, [first for first, _ in found[1:]] + [date.max.toordinal() + 1], strict=False
        )
    ]
    low, high = force
    if low > high:
        return []
    return [(max(a, low), min(b, high)) for a, b in closed if b >= low and a <= high]


def settled(spans: Sequence[Span]) -> list[Span]:
    """Windows of several sections made one line of them, apart and in order.

    Sorted by first day and then by last; of those that open on one day the first stands, and
    each closes the day before the next opens.
    """
    ordered = sorted(spans)
    firsts = dict.fromkeys(first for first, _ in ordered)
    shortest = {first: min(last for a, last in ordered if a == first) for first in firsts}
    opened = list(firsts)
    following = [*opened[1:], date.max.toordinal() + 1]
    return [(a, min(shortest[a], b - 1)) for a, b in zip(opened, following, strict=False)]


def at_home(span: Span, away: set[int]) -> Span | None:
    """A span without the days away at its ends, or None where all its days are."""
    days = [day for day in range(span[0], span[1] + 1) if day not in away]
    return (days[0], days[-1]) if days else None

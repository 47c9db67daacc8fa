"""The spans of a cadence, by dateutil's recurrence rules (RFC 5545), for the simulator."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from dateutil.relativedelta import relativedelta
from dateutil.rrule import DAILY, MONTHLY, WEEKLY, rrule, weekdays

from ledger.text.parts import Cadence, MonthDay


class Week(NamedTuple):
    """The day a week begins on, and the days of the weekend in a row; 0 is Monday."""

    start: int
    weekend: tuple[int, ...]


class CadenceSpan(NamedTuple):
    """Days on which a cadence falls, and of `N times` the whole period that they are part of."""

    first: int
    last: int
    period: tuple[int, int] | None = None


_MONTH = 365.25 / 12


def _moment(ordinal: int) -> datetime:
    return datetime.combine(date.fromordinal(ordinal), datetime.min.time())


def _month_start(ordinal: int) -> datetime:
    return _moment(ordinal).replace(day=1)


def _week_start(ordinal: int, week: Week) -> datetime:
    moment = _moment(ordinal)
    return moment - timedelta((moment.weekday() - week.start) % 7)


def _monthly(item: MonthDay, start: datetime, count: int, months: tuple[int, ...] | None) -> rrule:
    """The monthly rule of one item of `on`."""
    if item.weekday is None:
        return rrule(MONTHLY, start, interval=count, bymonth=months, bymonthday=item.number)
    named = weekdays[item.weekday](item.number) if item.number else weekdays[item.weekday]
    return rrule(MONTHLY, start, interval=count, bymonth=months, byweekday=named)


def _rules(cadence: Cadence, week: Week, anchor: int, low: int) -> Iterator[rrule]:
    """The cadence as rules whose days are the first days of its spans.

    A rhythm runs both ways from the day it counts from: a span of many days may begin before the
    days in force, and is cut to them.
    """
    count = cadence.every
    days = {"week": 7, "month": 31}.get(cadence.kind, 1) * count
    steps = max(0, anchor - low) // days + 1
    start, month = _week_start(low, week), _month_start(low)
    match cadence.kind:
        case "day":
            yield rrule(DAILY, _moment(anchor - steps * count), interval=count)
        case "weekday":
            yield rrule(WEEKLY, start, byweekday=[d for d in range(7) if d not in week.weekend])
        case "weekend":
            yield rrule(WEEKLY, start, byweekday=week.weekend[0])
        case "numbered-weekend":
            first = weekdays[week.weekend[0]]
            yield rrule(MONTHLY, month, byweekday=[first(n) for n in cadence.weekends])
        case "named-day":
            yield rrule(WEEKLY, start, byweekday=cadence.days)
        case "week":
            yield rrule(
                WEEKLY,
                _week_start(anchor, week) - timedelta(7 * steps * count),
                interval=count,
                wkst=week.start,
                byweekday=cadence.days or [week.start],
            )
        case "month" | "named-month":
            if count > 1:
                month = _month_start(anchor) - relativedelta(months=steps * count)
            for item in cadence.on or (MonthDay(1, None),):
                yield _monthly(item, month, count, cadence.months or None)


def _first_days(rules: Sequence[rrule], low: int, high: int) -> list[int]:
    """The days of any of the rules, from low to high."""
    found = {
        moment.toordinal()
        for rule in rules
        for moment in rule.between(_moment(low), _moment(high), inc=True)
    }
    return sorted(found)


def _last_day(cadence: Cadence, week: Week, first: int) -> int:
    """The last day of the span, or of the period of `N times`, that begins on a day."""
    if cadence.on or cadence.days:
        return first
    whole = cadence.every if cadence.times > 1 else 1
    match cadence.kind:
        case "weekend" | "numbered-weekend":
            return first + len(week.weekend) - 1
        case "week":
            return first + 7 * whole - 1
        case "month" | "named-month":
            return (_moment(first) + relativedelta(months=whole)).toordinal() - 1
    return first


def parts(first: int, last: int, times: int) -> Iterator[tuple[int, int]]:
    """A period parted into so many spans, whose lengths differ by at most a day, longer first."""
    length, longer = divmod(last - first + 1, times)
    for number in range(times):
        end = first + length + (number < longer) - 1
        yield first, end
        first = end + 1


def longest(cadence: Cadence, within: int | None) -> int:
    """No span of a cadence, and no period of `N times`, is longer than so many days."""
    whole = 31 * cadence.every if cadence.times > 1 else 31
    once = cadence.last - cadence.first + 1 if cadence.kind == "once" else 0
    return max(whole, within or 0, once)


def closed(spans: Sequence[CadenceSpan]) -> list[CadenceSpan]:
    """The spans, each ended the day before the next one begins."""
    following = [*(span.first for span in spans[1:]), date.max.toordinal() + 1]
    return [
        span._replace(last=min(span.last, end - 1))
        for span, end in zip(spans, following, strict=False)
    ]


def cadence_spans(
    cadence: Cadence, week: Week, anchor: int, low: int, high: int, within: int | None
) -> list[CadenceSpan]:
    """The spans of a cadence, some days before `low` to those that begin by `high`; none is cut to
    the days in force yet, but each ends before the next."""
    if cadence.kind == "once":
        spans = [CadenceSpan(cadence.first, cadence.last)]
    else:
        reach = longest(cadence, within)
        rules = list(_rules(cadence, week, anchor, low - reach))
        spans = []
        for first in _first_days(rules, low - reach, high):
            last = _last_day(cadence, week, first)
            if cadence.times > 1:
                period = first, last
                spans += [CadenceSpan(*part, period) for part in parts(*period, cadence.times)]
            else:
                spans.append(CadenceSpan(first, last))
    if within is not None:
        spans = [span._replace(last=span.first + within - 1) for span in spans]
    return closed(spans)


def asked_of_month(on: Sequence[MonthDay]) -> float:
    """How many days of a month the items of `on` ask for."""
    if not on:
        return 1
    return sum(365.25 / 84 if day.weekday is not None and not day.number else 1 for day in on)


def period_of(cadence: Cadence, week: Week) -> float:
    """The days from one span to the next, in the long run."""
    match cadence.kind:
        case "day" | "after-done":
            return cadence.every
        case "weekday":
            return 7 / (7 - len(week.weekend))
        case "weekend":
            return 7
        case "numbered-weekend":
            return _MONTH / len(cadence.weekends)
        case "named-day":
            return 7 / len(cadence.days)
        case "week":
            return 7 * cadence.every / (len(cadence.days) or 1) / cadence.times
        case "month":
            return _MONTH * cadence.every / asked_of_month(cadence.on) / cadence.times
        case "named-month":
            months = len(cadence.months)
            return 365.25 / months / asked_of_month(cadence.on) / cadence.times
        case "once":
            return cadence.last - cadence.first + 1

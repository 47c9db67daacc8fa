"""Lists of days: which days `during`, `except` and named days mean."""

from __future__ import annotations

from collections.abc import Iterable
from typing import assert_never

from ledger.calendar.day_set import (
    ALL,
    NONE,
    DaySet,
    all_of,
    any_of,
    of_months,
    of_openings,
    of_spans,
    of_weekdays,
)
from ledger.calendar.occurrences import Rhythm, cadence_spans, longest
from ledger.calendar.week import MAX_DAY
from ledger.household.model import DayCadence, DayList, Household, Routine, Span
from ledger.text.parts import DayItem


def force_of(household: Household, routine: Routine) -> DaySet:
    """The days on which a line of the routine is in force."""
    first, last = dates_of(household, routine)
    return household.remember(
        ("force", first, last, routine.during, routine.excepted),
        lambda: of_spans([(first, last)] if first <= last else []) & kept_days(household, routine),
    )


def dates_of(household: Household, routine: Routine) -> Span:
    """First and last day on which a line of the routine may be in force."""
    first = household.start if routine.first is None else max(household.start, routine.first)
    return first, MAX_DAY if routine.last is None else routine.last


def kept_days(household: Household, routine: Routine) -> DaySet:
    """The days that the `during` and `except` of a line leave it, whatever its dates."""
    if not routine.is_kept_to_days:
        return ALL
    key = "kept days", routine.during, routine.excepted
    return household.remember(
        key,
        lambda: (
            all_of(days_of(household, one) for one in routine.during)
            & ~days_of(household, routine.excepted)
        ),
    )


def days_of(household: Household, items: DayList) -> DaySet:
    """The days that a list holds."""
    return any_of(_item(household, item) for item in items)


def named(household: Household, names: Iterable[str]) -> DaySet:
    """The days of any of some named days."""
    return any_of(_named(household, name) for name in names)


def kind_of_day(household: Household, kind: str) -> DaySet:
    """The days of a kind: `weekday`, `weekend`, or named days."""
    match kind:
        case "weekend":
            return _weekend(household)
        case "weekday":
            return ~_weekend(household)
    return _named(household, kind)


def _item(household: Household, item: DayItem) -> DaySet:
    match item.kind:
        case "months":
            return of_months(item.first, item.last)
        case "day":
            return of_weekdays([item.first])
        case "weekend":
            return _weekend(household)
        case "weekday":
            return ~_weekend(household)
        case "named":
            return _named(household, item.name)
    assert_never(item.kind)


def _weekend(household: Household) -> DaySet:
    return household.remember("weekend", lambda: of_weekdays(household.weekend))


def _named(household: Household, name: str) -> DaySet:
    return household.remember(("named days", name), lambda: _worked_out(household, name))


def _worked_out(household: Household, name: str) -> DaySet:
    days = household.named_days.get(name)
    if days is None:
        return NONE
    by_cadence = (_by_cadence(household, one) for one in days.cadences)
    return of_spans(days.spans) | any_of(by_cadence)


def _by_cadence(household: Household, days: DayCadence) -> DaySet:
    dates = (days.first or 1, MAX_DAY if days.last is None else days.last)
    return _spans_of(household, days) & of_spans([dates] if dates[0] <= dates[1] else [])


def _spans_of(household: Household, days: DayCadence) -> DaySet:
    """The days of all spans of a cadence."""
    cadence, within = days.cadence, days.within
    if within is None:
        match cadence.kind:
            case "day" if cadence.every == 1:
                return ALL
            case "named-day":
                return of_weekdays(cadence.days)
            case "weekday":
                return ~_weekend(household)
            case "weekend":
                return _weekend(household)
    rhythm = Rhythm(cadence, days.first or 1, household.week_start, household.weekend)
    return of_openings(
        lambda low, high: cadence_spans(rhythm, within, low, high), longest(cadence, within)
    )

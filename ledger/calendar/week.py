"""Weeks, weekends and months in ordinals: plain arithmetic on the proleptic Gregorian calendar."""

from __future__ import annotations

from datetime import date

from ledger.text.values import FIRST_YEAR

FIRST_DAY, MAX_DAY = date(FIRST_YEAR, 1, 1).toordinal(), date.max.toordinal()
"""The first and the last day that a book can hold."""
MONTHS_A_YEAR = 12
CYCLE = 400 * MONTHS_A_YEAR
"""Months after which the calendar repeats, weekdays too: 146,097 days, 20,871 weeks."""
HORIZON = 36_525
"""A hundred years: what does not come within so many days is taken never to come."""


def weekday(day: int) -> int:
    """The day of the week of an ordinal, 0 for Monday."""
    return (day - 1) % 7


def week_first(day: int, week_start: int) -> int:
    """The first day of the week that holds a day; weeks begin on the weekday `week_start`."""
    return day - (weekday(day) - week_start) % 7


def month_index(day: int) -> int:
    """Months since January of year 0: consecutive months differ by one."""
    when = date.fromordinal(day)
    return when.year * 12 + when.month - 1


def month_first(index: int) -> int:
    """First day of a month given by its index."""
    return date(index // 12, index % 12 + 1, 1).toordinal()


def month_last(index: int) -> int:
    """Last day of a month given by its index."""
    if index >= 9999 * 12 + 11:
        return MAX_DAY
    return month_first(index + 1) - 1


def year_on(day: int) -> int:
    """The last day of the year that begins on a day: all reports look so far ahead."""
    index = month_index(day) + MONTHS_A_YEAR
    if index > month_index(MAX_DAY):
        return MAX_DAY
    offset = day - month_first(index - MONTHS_A_YEAR)
    return min(month_first(index) + offset - 1, month_last(index))


def month_of(day: int) -> int:
    """The month that holds a day, 1 to 12."""
    return date.fromordinal(day).month


def in_month(index: int, first_weekday: int) -> int:
    """The first day of a month, given by its index, that falls on a weekday."""
    first = month_first(index)
    return first + (first_weekday - weekday(first)) % 7


def weekend_number(first: int) -> int:
    """The number in its month, 1 to 5, of the weekend that begins on a day.

    A weekend belongs to the month of its first day; its number is that day's count there.
    """
    return (date.fromordinal(first).day - 1) // 7 + 1

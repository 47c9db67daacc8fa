"""A section whose day many of its months do not have: a weekend 5, a fifth Friday, a 31st.

Why it matters: its header reads like once a month, and its chores come up four or seven times
a year. A day that every month has, such as its last, is often what was meant.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.calendar.day_lists import kept_days
from ledger.calendar.day_set import ALL, DaySet
from ledger.calendar.lines import rhythm_of
from ledger.calendar.occurrences import cadence_spans
from ledger.calendar.week import MAX_DAY, month_first, month_index, month_last
from ledger.household.model import Section
from ledger.lint.book import LintedBook, dated, header_alone
from ledger.text.cadences import write_cadence
from ledger.text.edits import write
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.parts import Cadence, MonthDay
from ledger.text.values import LAST, MONTHS
from ledger.text.words import counted, listed

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
area kitchen

every month on 31
^^^^^^^^^^^^^^^^^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen

every month on last
    oven  40 min  in kitchen
"""

RARE_DAY = 29
RARE_TURN = 5
LEAP_YEARS_APART = 8 * 366
"""Days from one 29 February to the next, at most."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each section in force that skips some of its months."""
    for section, lines in book.sections.items():
        rare = _mended(section.cadence)
        if rare is None or not any(book.lasts(routine) for _, routine in lines):
            continue
        kept = kept_days(book.household, header_alone(section, lines[0][1]))
        months = _months(book, section, kept)
        if not months:
            continue
        openings = _openings(book, section, ALL, month_first(months[0]), month_last(months[-1]))
        with_day = set(map(month_index, openings))
        passed = [month for month in months if month not in with_day]
        opens = _openings(book, section, kept, book.today, book.today + LEAP_YEARS_APART)
        # A section that never comes round is a finding of another rule.
        if passed and opens:
            yield _finding(book, section, (months, passed), opens, rare)


def _mended(cadence: Cadence) -> Cadence | None:
    """The cadence with `last` in place of its rare days; None unless all its days are rare."""
    if cadence.kind == "numbered-weekend" and cadence.weekends == (RARE_TURN,):
        return cadence._replace(weekends=(LAST,))
    if not cadence.on:
        return None
    for day in cadence.on:
        if day.number < (RARE_DAY if day.weekday is None else RARE_TURN):
            return None
    days = (MonthDay(LAST, day.weekday) for day in cadence.on)
    return cadence._replace(on=tuple(dict.fromkeys(days)))


def _months(book: LintedBook, section: Section, kept: DaySet) -> list[int]:
    """Of the twelve months from today's on, those that the section asks for, that are whole within
    its dates, and of which its lists leave it some days."""
    cadence = section.cadence
    first = book.start if section.first is None else section.first
    last = MAX_DAY if section.last is None else section.last
    this_month = month_index(book.today)
    return [
        month
        for month in range(this_month, min(this_month + 12, month_index(MAX_DAY) + 1))
        if (month - month_index(first)) % cadence.every == 0
        and (not cadence.months or month % 12 + 1 in cadence.months)
        and kept.first(month_first(month), month_last(month)) is not None
        and (section.first is None or section.first <= month_first(month))
        and month_last(month) <= last
    ]


def _openings(book: LintedBook, section: Section, kept: DaySet, low: int, high: int) -> list[int]:
    """The days, from one day to another, on which windows of a section open that are kept to some
    days."""
    low = max(low, section.first or 0)
    high = min(high, MAX_DAY if section.last is None else section.last)
    rhythm = rhythm_of(book.household, section, book.start)
    firsts = (kept.first(*span) for span in cadence_spans(rhythm, section.within, low, high))
    return [first for first in firsts if first is not None]


def _finding(
    book: LintedBook,
    section: Section,
    months: tuple[list[int], list[int]],
    opens: list[int],
    mended: Cadence,
) -> Finding:
    asked, passed = months
    within_year = [dated(day) for day in opens if day <= book.days_ahead[-1]]
    if within_year:
        times = "once" if len(within_year) == 1 else f"{len(within_year)} times"
        comes = f"comes {times}"
        on = f"it comes on {listed(within_year, 7)}"
    else:
        comes, on = "does not come", f"it comes next on {dated(opens[0])}"
    names = listed([MONTHS[month % 12].title() for month in passed])
    often = write(section.place, write_cadence(mended))
    return RULE.finding(
        section.place,
        f"`{write_cadence(section.cadence)}` {comes} in the 366 days from {dated(book.today)}",
        f"{on}; {len(passed)} of the {counted(len(asked), 'month', 'months')} it asks for "
        f"{'passes' if len(passed) == 1 else 'pass'} by: {names}",
        f"{often.words}, which every such month has",
        fixes=[often],
    )

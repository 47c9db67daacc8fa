"""A section, or a chore's line in it, that is in force and still comes round on no day.

Why it matters: its chores are in the book and never on a list. Mostly `during` leaves out the
months it asks for, or `from` and `until` leave it no day.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil

from ledger.calendar.lines import rhythm_of
from ledger.calendar.occurrences import Span, longest, period_days, section_spans
from ledger.calendar.week import MAX_DAY
from ledger.household.model import Section
from ledger.lint.book import LintedBook, dated, days_from
from ledger.text.cadences import write_cadence
from ledger.text.edits import delete, delete_name
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.tree import Located
from ledger.text.values import MONTHS
from ledger.text.words import listed

RULE = Kind.of(__name__, Severity.ERROR)

BAD = """\
area kitchen

every june during july to august
^^^^^^^^^^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen

every june during june to august
    oven  40 min  in kitchen
"""

YEARS = 8
"""Years from one leap day to the next, at most."""
Dates = tuple[int | None, int | None]
"""First and last day in force, as far as the book says."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each header that falls on no day, else for each of its lines that does not."""
    for section, lines in book.sections.items():
        cadence = section.cadence
        if cadence.is_after_done:
            continue
        dates = section.first, section.last
        if not section.paused and _is_missed(book, section, dates):
            names = listed([name for name, _ in lines])
            yield _finding(book, section, dates, names, section.place)
            continue
        for name, routine in lines:
            own = routine.first, routine.last
            if own != dates and not routine.paused and _is_missed(book, section, own):
                yield _finding(book, section, own, name, routine.name_place)


def _is_missed(book: LintedBook, section: Section, dates: Dates) -> bool:
    """True where a section has days to come, and falls on none of its days in force."""
    first, last = dates
    over = section.cadence.is_once and section.cadence.last < max(book.today, book.start)
    ended = last is not None and last < max(book.today, first or 0)
    # Nobody can tell where the calendar ends before enough days were looked at.
    unseen = last is None and _days_looked_at(book, section, dates)[1] == MAX_DAY
    return not (over or ended or unseen) and _first_day(book, section, dates) is None


def _first_day(book: LintedBook, section: Section, dates: Dates) -> int | None:
    """The first of the days looked at that is in a window of the section; None if none is."""
    low, high = _days_looked_at(book, section, dates)
    begin = max(book.start, dates[0] or book.start)
    rhythm = rhythm_of(book.household, section, begin)
    spans = section_spans(section, rhythm, max(low - longest(section), 1), high)
    return next((max(first, low) for first, last in spans if last >= low), None)


def _days_looked_at(book: LintedBook, section: Section, dates: Dates) -> Span:
    """The days looked at: all in force if they end soon, else those from today on."""
    cadence = section.cadence
    begin = max(book.start, dates[0] or book.start)
    low = max(book.today, begin)
    # What counts more than one unit has gaps as long as its period, whatever its days.
    gap = period_days(cadence._replace(days=(), on=())) if cadence.every > 1 else 0
    steps = max(YEARS * 366, ceil(YEARS * gap))
    high = min(max(low + steps, cadence.last), MAX_DAY)
    if dates[1] is None or dates[1] > high:
        return low, high
    household = book.household
    if dates[0] is None and household.since is None and not household.log.dates:
        # A book that does not say when it began may have been kept for long.
        begin = max(low - steps, 1)
    return begin, dates[1]


def _finding(
    book: LintedBook, section: Section, dates: Dates, names: str, place: TextRange
) -> Finding:
    header = write_cadence(section.cadence)
    low, high = _days_looked_at(book, section, dates)
    fixes: list[Fix] = []
    always = _first_day(book, replace(section, during=None), dates)
    if section.during is not None and always is not None:
        first, last = (MONTHS[month - 1] for month in section.during)
        message = f"`{header}` falls on no day `during {first} to {last}`"
        why = f"in every month it would come on {dated(always)}; as it stands {names} never will"
        fix = "write the months it is meant for behind `during`, or delete that clause"
        fixes = [delete(clause) for clause in _clause(book, place, "during")]
    elif section.cadence.is_once and section.cadence.last < low:
        message = f"`{header}` is over before {dated(low)}"
        why = f"that is the first day on which {names} is in force, so it never comes up"
        fix = "write a `from` up to its last day, or delete that clause"
        froms = _clause(book, place, "first")
        fixes = [delete_name(clause, f"from {clause.text}") for clause in froms]
    elif dates[1] == high:
        message = f"`{header}` falls on no day from {days_from(low, high)}"
        why = f"{names} is in force on those days only, so it never comes up"
        fix = "write a `from` and an `until` that have one of its days between them"
    else:
        message = f"`{header}` falls on no day from {days_from(low, high)}"
        why = f"its months have no such day in all that time, so {names} never comes up"
        fix = "write a day that its months have each year, such as `last`"
    return RULE.finding(place, message, why, fix, fixes=fixes)


def _clause(book: LintedBook, place: TextRange, name: str) -> list[TextRange]:
    """The range of a clause in the line at a place; none where the line does not have it."""
    value = getattr(book.node_at(place), name, None)
    return [value.at(place.source, place.line)] if isinstance(value, Located) else []

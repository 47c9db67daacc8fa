"""A line of the record about a chore that is not in force on its date.

Why it matters: it settles nothing, or the first or last time that the chore comes round. Either
its date is wrong, or the chore's `from` or `until` is.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.calendar.day_lists import dates_of
from ledger.calendar.day_set import of_spans
from ledger.household.model import Span
from ledger.household.record import Log
from ledger.lint.book import LintedBook, dated, open_days_from
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.words import listed, more

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
every monday
    oven  40 min  in kitchen  from 2026-03-01
2026-02-23 did oven
^^^^^^^^^^
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen  from 2026-03-01
2026-03-02 did oven
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each chore with record lines outside its dates, at the first of them."""
    household = book.household
    dates = household.log.dates
    for name, positions in household.log.by_chore.items():
        spans = [dates_of(household, routine) for routine in household.chores[name].routines]
        if spans[0][0] <= dates[positions[0]] and dates[positions[-1]] <= spans[0][1]:
            continue
        days = of_spans(span for span in spans if span[0] <= span[1])
        outside = [index for index in positions if not days.holds(dates[index])]
        if outside:
            yield _finding(household.log, name, outside, spans)


def _finding(log: Log, name: str, outside: list[int], spans: list[Span]) -> Finding:
    in_force = listed([open_days_from(*span) for span in spans])
    others = f", and {more(len(outside) - 1, 'line', 'lines')}" if len(outside) > 1 else ""
    return RULE.finding(
        log.place(outside[0]),
        f'"{name}" is not in force on {dated(log.dates[outside[0]])}{others}',
        f"it is in force {in_force}; a line outside that settles nothing, or the nearest "
        "time of it",
        "mend the date of the line, or the `from` or `until` of the chore",
    )

"""A line of the record about a chore that is not in force on its date, nor near it.

Why it matters: the line counts for no time that the chore comes round. Either its date is wrong,
or the chore's `from` or `until` is. A line that is early or late and settles a time of the chore is
no fault.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from ledger.calendar.day_lists import dates_of
from ledger.calendar.day_set import of_spans
from ledger.household.model import Chore, Household, Span
from ledger.household.record import Log
from ledger.keeping.history import shares_of, without_window
from ledger.lint.book import LintedBook, dated, open_days_from
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.words import listed, more

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
every monday
    oven  40 min  in kitchen  from 2026-03-01
2026-02-16 did oven
^^^^^^^^^^
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen  from 2026-03-01
2026-03-02 did oven
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each chore with record lines outside its dates that find none of its windows,
    at the first of them. One that does is a little early or late, and counts."""
    household = book.household
    dates = household.log.dates
    for name, positions in household.log.by_chore.items():
        chore = household.chores[name]
        spans = [dates_of(household, routine) for routine in chore.routines]
        if spans[0][0] <= dates[positions[0]] and dates[positions[-1]] <= spans[0][1]:
            continue
        numbers = book.memory.once(
            (RULE.name, name),
            partial(_outside, household, chore, spans),
            household.log.story(name),
            chore,
            book.calendar,
        )
        if numbers:
            yield _finding(household.log, name, [positions[number] for number in numbers], spans)


def _outside(household: Household, chore: Chore, spans: list[Span]) -> list[int]:
    """Which of a chore's lines are outside its dates and find no window."""
    log, days = household.log, of_spans(span for span in spans if span[0] <= span[1])
    positions = log.by_chore[chore.name]
    outside = [n for n, index in enumerate(positions) if not days.holds(log.dates[index])]
    if not outside:
        return []
    first, last = (log.dates[positions[number]] for number in (outside[0], outside[-1]))
    lost = without_window(shares_of(household, chore, first, last))
    return [number for number in outside if positions[number] in lost]


def _finding(log: Log, name: str, outside: list[int], spans: list[Span]) -> Finding:
    in_force = listed([open_days_from(*span) for span in spans])
    others = f", and {more(len(outside) - 1, 'line', 'lines')}" if len(outside) > 1 else ""
    return RULE.finding(
        log.place(outside[0]),
        f'"{name}" is not in force on {dated(log.dates[outside[0]])}{others}',
        f"it is in force {in_force}, and the line counts for none of its times",
        "mend the date of the line, or the `from` or `until` of the chore",
    )

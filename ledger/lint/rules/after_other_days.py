"""A chore that comes `after` one that never comes round on the same day.

Why it matters: `after` orders the list of one day. Between chores of different days it does
nothing, and what must be dry or empty first may not be.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.lint.book import LintedBook, dated
from ledger.lint.meeting import Order, first_meeting, orders
from ledger.text.cadences import write_cadence
from ledger.text.edits import delete_name
from ledger.text.finding import Finding, Kind, Severity

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

every monday
    mop  10 min  in kitchen  after sweep
                                   ^^^^^
every tuesday
    sweep  5 min  in kitchen
"""

GOOD = """\
area kitchen

every monday
    mop    10 min  in kitchen  after sweep
    sweep   5 min  in kitchen
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each name behind `after` that shares no day with its line in the year ahead.

    There is none where one of the two has no window, or depends on the record.
    """
    for order in orders(book):
        if first_meeting(order.own, order.theirs) is None:
            yield _finding(book, order)


def _finding(book: LintedBook, order: Order) -> Finding:
    name, routine, other, own, theirs = order
    header = write_cadence(routine.section.cadence)
    lines = book.household.chores[other.value].routines
    place = other.at(routine.place.source, routine.place.line)
    removal = delete_name(place, f"after {other.value}")
    return RULE.finding(
        place,
        f'"{name}" comes after "{other.value}", and never on the same day',
        f'`{header}` has it next on {dated(own[0].first)}; "{other.value}" comes on '
        f"{dated(theirs[0].first)}, and in the 366 days from {dated(book.today)} no day is both's",
        f"put `{other.value}` under a header that shares a day with `{header}`, or {removal.words}",
        (lines[0].name_place,),
        [removal],
    )

"""An `except` that takes all days of its section or chore, so that it comes round on none.

Why it matters: its chores are in the book and never on a list. Mostly a day is named that should
be left, or `during` was meant.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.lint.book import LintedBook, dated
from ledger.lint.falling import FallsNever, OwnExcept, falls_never, own_except
from ledger.text.cadences import write_cadence
from ledger.text.edits import delete, delete_name
from ledger.text.finding import Finding, Fix, Kind, Severity

RULE = Kind.of(__name__, Severity.ERROR)

BAD = """\
area kitchen

every monday except monday
             ^^^^^^^^^^^^^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen

every monday except may
    oven  40 min  in kitchen
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such `except`: of headers, else of chores below them."""
    for one in falls_never(book):
        own = own_except(book, one)
        if own is not None:
            yield _finding(one, own)


def _finding(one: FallsNever, own: OwnExcept) -> Finding:
    place, removal = own.written.place, _removal(own)
    header = write_cadence(one.line.section.cadence)
    kept = " that `during` leaves it" if one.line.during else ""
    return RULE.finding(
        place,
        f"`{place.text}` takes every day of `{header}`{kept}",
        f"without it the next time would be on {dated(own.comes)}; as it stands no list ever shows "
        f"{one.names}",
        f"{removal.words}, or name other days behind `except`",
        fixes=[removal],
    )


def _removal(own: OwnExcept) -> Fix:
    """The fix that takes away the only item that is too much, else the whole list."""
    if len(own.needless) == 1 < len(own.written.items):
        return delete_name(own.needless[0])
    return delete(own.written.place)

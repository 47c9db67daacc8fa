"""A section, or a chore's line in it, that is in force and still comes round on no day.

Why it matters: its chores are in the book and never on a list. Mostly `during` or `except` leaves
out the days it asks for, or `from` and `until` leave it no day.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ledger.lint.book import LintedBook, dated, days_from
from ledger.lint.falling import FallsNever, days_looked_at, falls_never, own_except, written_lists
from ledger.text.cadences import write_cadence
from ledger.text.edits import delete, delete_name
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.parts import Located

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


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each header that falls on no day, else for each of its lines that does not.

    Where an `except` of its own leaves it none, that is a finding of another rule.
    """
    for one in falls_never(book):
        if own_except(book, one) is None:
            words = _by_lists(book, one) if one.line.is_kept_to_days else None
            yield RULE.finding(one.place, **(words or _by_dates(book, one))._asdict())


class Words(NamedTuple):
    """What a finding says."""

    message: str
    why: str
    fix: str
    fixes: list[Fix]


def _by_lists(book: LintedBook, one: FallsNever) -> Words | None:
    """What to say of a line that its lists of days leave no day; None where it has none anyway."""
    always = one.would_fall(book, during=(), excepted=frozenset())
    if always is None:
        return None
    own = written_lists(book, one.place)
    lists = own or written_lists(book, one.line.section.place)
    clauses, single = " ".join(written.place.text for written in lists), len(lists) == 1
    if single and not one.line.excepted:
        none = f"`{clauses}`"
        fix = "write the days it is meant for behind `during`, or delete that clause"
    else:
        none = f"that `{clauses}` leaves"
        fix = "name fewer days behind `except`, or delete a list of days"
    return Words(
        f"`{write_cadence(one.line.section.cadence)}` falls on no day {none}",
        f"without that it would come on {dated(always)}; as it stands {one.names} never will",
        fix,
        [delete(written.place) for written in own if single],
    )


def _by_dates(book: LintedBook, one: FallsNever) -> Words:
    """What to say of a line whose dates leave it no day."""
    cadence, place, names = one.line.section.cadence, one.place, one.names
    header = write_cadence(cadence)
    low, high = days_looked_at(book, one.line)
    if cadence.is_once and cadence.last < low:
        first = getattr(book.node_at(place), "first", None)
        begin = [first.at(place.source, place.line)] if isinstance(first, Located) else []
        return Words(
            f"`{header}` is over before {dated(low)}",
            f"that is the first day on which {names} is in force, so it never comes up",
            "write a `from` up to its last day, or delete that clause",
            [delete_name(clause, f"from {clause.text}") for clause in begin],
        )
    message = f"`{header}` falls on no day from {days_from(low, high)}"
    if one.line.last == high:
        why = f"{names} is in force on those days only, so it never comes up"
        fix = "write a `from` and an `until` that have one of its days between them"
    else:
        why = f"its months have no such day in all that time, so {names} never comes up"
        fix = "write a day that its months have each year, such as `last`"
    return Words(message, why, fix, [])

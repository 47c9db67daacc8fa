"""A section, a chore or a line of days that ends before it begins: its `from` is after its `until`.

Why it matters: no day is left on which it could be due, so it is on no list and in no total.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Routine
from ledger.lint.book import LintedBook, dated, iso
from ledger.text.clauses import NamedDays, SectionHeader
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange

RULE = Kind.of(__name__, Severity.ERROR)

BAD = """\
area kitchen

every monday
    oven  40 min  in kitchen  from 2026-06-01 until 2026-05-01
                                                    ^^^^^^^^^^
"""

GOOD = """\
area kitchen

every monday
    oven  40 min  in kitchen  from 2026-05-01 until 2026-06-01
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such header and line of days, and for each such chore line below another
    header."""
    for tree in book.trees:
        for line in tree.lines:
            node = line.node
            if isinstance(node, SectionHeader | NamedDays) and node.first and node.last:
                first, last = node.first.value, node.last.value
                if first > last:
                    place = node.last.at(tree.source, line.number)
                    if isinstance(node, SectionHeader):
                        yield _finding("this section", first, last, place)
                    else:
                        what = f'this line of "{node.name.value}"'
                        why = "it names no day, so what is kept to it never comes"
                        yield _finding(what, first, last, place, why=why)
    for section, lines in book.sections.items():
        if not _is_over(section.first, section.last):
            for name, routine in lines:
                if _is_over(routine.first, routine.last):
                    yield _of_chore(book, name, routine)


def _is_over(first: int | None, last: int | None) -> bool:
    return first is not None and last is not None and first > last


def _of_chore(book: LintedBook, name: str, routine: Routine) -> Finding:
    """A finding for a chore line. If one of the two dates is its section's, its own is marked."""
    node = book.line_of(routine)
    first, last = routine.first or 0, routine.last or 0
    own = [date for date in (node.last, node.first) if date and date.value in (first, last)]
    place = own[0].at(routine.place.source, routine.place.line)
    see = () if len(own) > 1 else (routine.section.place,)
    return _finding(f'"{name}"', first, last, place, see)


def _finding(
    what: str,
    first: int,
    last: int,
    place: TextRange,
    see: tuple[TextRange, ...] = (),
    why: str = "it is in force on no day, so it is never due",
) -> Finding:
    return RULE.finding(
        place,
        f"{what} begins on {dated(first)} and ends before, on {dated(last)}",
        why,
        f"write an `until` from {iso(first)} on, or a `from` up to {iso(last)}",
        see,
    )

"""Two lines of days away that share days, for the same people.

Why it matters: the days they share count once. So one of the two was likely meant for other days,
and on those the book takes everyone to be at home.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Absence
from ledger.lint.book import LintedBook, days_from, iso
from ledger.lint.meeting import first_met
from ledger.text.edits import over, without_line
from ledger.text.finding import Finding, Fix, Kind, Severity, TextEdit
from ledger.text.source import TextRange
from ledger.text.tree import AwayLine

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
away 2026-07-04 to 2026-07-18 "Grandparents"
away 2026-07-18 to 2026-07-20 "By the sea"
^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^

every monday
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
away 2026-07-04 to 2026-07-18 "Grandparents"
away 2026-07-19 to 2026-07-20 "By the sea"

every monday
    oven  40 min  in kitchen
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each line of days away that meets an earlier one of the same people."""
    absences = book.household.absences
    of_each: dict[str | None, list[int]] = {}
    for number, absence in enumerate(absences):
        for who in absence.people or (None,):
            of_each.setdefault(who, []).append(number)
    met: dict[int, int] = {}
    for numbers in of_each.values():
        spans = [(absences[number].first, absences[number].last) for number in numbers]
        for later, earlier in first_met(spans).items():
            number = numbers[later]
            met[number] = min(numbers[earlier], met.get(number, number))
    for number in sorted(met):
        yield _finding(book, absences[met[number]], absences[number])


def _finding(book: LintedBook, earlier: Absence, later: Absence) -> Finding:
    shared = days_from(max(earlier.first, later.first), min(earlier.last, later.last))
    twice = [person for person in later.people if person in earlier.people]
    who = ", ".join(twice) if twice else "the household"
    first, last = min(earlier.first, later.first), max(earlier.last, later.last)
    one = f"away {iso(first)} to {iso(last)}"
    both = Fix(f"Write one line `{one}` for both", _joined(book, earlier.place, later.place, one))
    return RULE.finding(
        later.place,
        f"{who} {'are' if len(twice) > 1 else 'is'} away by two lines on {shared}",
        "a day away counts once; if one of the two was meant for other days, what is due on "
        "those is still asked for",
        f"mend the dates, or {both.words}",
        (earlier.place,),
        [both] if set(earlier.people) == set(later.people) else (),
    )


def _joined(
    book: LintedBook, first: TextRange, second: TextRange, words: str
) -> tuple[TextEdit, ...]:
    """The edits that write other dates in the first of two lines, and delete the second."""
    node = book.node_at(first)
    assert isinstance(node, AwayLine)
    dates = first._replace(end=node.last.end)
    return over(dates, words), without_line(second)

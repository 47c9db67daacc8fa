"""Two lines of days away, or of rest, that share days, for the same people.

Why it matters: the days they share count once. So one of the two was likely meant for other days,
and on those the book asks for everything.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ledger.calendar.week import MAX_DAY
from ledger.household.model import Absence
from ledger.lint.book import LintedBook, dated, days_from, iso
from ledger.lint.meeting import first_met
from ledger.text.edits import over, without_line
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.tree import AbsentLine

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


class AbsentSpan(NamedTuple):
    """Days in a row of one line."""

    first: int
    last: int
    line: Absence


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each line that has days of an earlier one of its kind, or one day twice, for
    the same people. Named days may well share days with others: their line does not list them."""
    spans = [AbsentSpan(*days, line) for line in book.household.absences for days in line.spans]
    of_each: dict[tuple[str, str | None], list[int]] = {}
    for number, span in enumerate(spans):
        for person in span.line.people or (None,):
            of_each.setdefault((span.line.keyword, person), []).append(number)
    met: dict[int, int] = {}
    for numbers in of_each.values():
        for later, earlier in first_met([spans[number][:2] for number in numbers]).items():
            number = numbers[later]
            met[number] = min(numbers[earlier], met.get(number, number))
    told: set[int] = set()
    for number in sorted(met):
        if id(spans[number].line) not in told:
            told.add(id(spans[number].line))
            yield _finding(book, spans[met[number]], spans[number])


def _finding(book: LintedBook, earlier: AbsentSpan, later: AbsentSpan) -> Finding:
    one, other = earlier.line, later.line
    shared = max(earlier.first, later.first), min(earlier.last, later.last)
    days = f"from {dated(shared[0])} on" if shared[1] == MAX_DAY else f"on {days_from(*shared)}"
    twice = [person for person in other.people if person in one.people]
    who = ", ".join(twice) if twice else "the household"
    if other.keyword == "away":
        does, noun = f"{'are' if len(twice) > 1 else 'is'} away", "away"
    else:
        does, noun = "rest" if len(twice) > 1 else "rests", "of rest"
    fix, joined = "mend the dates", _joined(book, earlier, later)
    if joined is not None:
        fix = f"{fix}, or {joined.words}"
    return RULE.finding(
        other.place,
        f"{who} {does} by {'this line twice' if one is other else 'two lines'} {days}",
        f"a day {noun} counts once; if one of the two was meant for other days, what is due on "
        "those is still asked for",
        fix,
        () if one is other else (one.place,),
        [joined] if joined is not None and {*one.people} == {*other.people} else (),
    )


def _joined(book: LintedBook, earlier: AbsentSpan, later: AbsentSpan) -> Fix | None:
    """The fix that writes all days in the first of two lines, and deletes the second; None where a
    line has several spans."""
    place = earlier.line.place
    node = book.node_at(place)
    assert isinstance(node, AbsentLine)
    if len(earlier.line.spans) > 1 or len(later.line.spans) > 1:
        return None
    first, last = min(earlier.first, later.first), max(earlier.last, later.last)
    words = f"{node.keyword} {_written(first, last)}"
    begin, end = node.spans.dates[0]
    edits = over(place._replace(end=(end or begin).end), words), without_line(later.line.place)
    return Fix(f"Write one line `{words}` for both", edits)


def _written(first: int, last: int) -> str:
    if last == MAX_DAY:
        return f"from {iso(first)}"
    return iso(first) if first == last else f"{iso(first)} to {iso(last)}"

"""A line of the record by people who are away on its date.

Why it matters: days away ask for nothing, so the line settles a day before or after them, or
none. Either its date is wrong, or the days away are.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import partial

from ledger.household.model import Absence
from ledger.household.record import Log
from ledger.lint.book import LintedBook, dated, days_from, iso
from ledger.text.edits import over
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.tree import AwayLine
from ledger.text.words import more

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
area kitchen
away 2026-02-20 to 2026-02-25 "By the sea"

every monday
    oven  40 min  in kitchen
2026-02-23 did oven
^^^^^^^^^^
"""

GOOD = """\
area kitchen
away 2026-02-20 to 2026-02-22 "By the sea"

every monday
    oven  40 min  in kitchen

2026-02-23 did oven
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each `away` with such lines, at the first, with how many more there are."""
    log = book.household.log
    if not book.household.absences:
        return
    of_each = book.memory.once("doings", partial(_doings, log), log)
    for absence in book.household.absences:
        lines_of = [
            _in_days(log, of_each.get(who, []), absence) for who in absence.people or (None,)
        ]
        # A line that names two of those who are away counts once.
        lines = lines_of[0] if len(lines_of) == 1 else sorted(set().union(*lines_of))
        if lines:
            yield _finding(book, absence, lines)


def _doings(log: Log) -> dict[str | None, list[int]]:
    """The positions of all `did` lines, under None, and of those that name a person, under each."""
    of_each: dict[str | None, list[int]] = {None: []}
    for index, entry in enumerate(log.entries):
        if entry.verb == "did":
            of_each[None].append(index)
            for person in {person.value for person in entry.people}:
                of_each.setdefault(person, []).append(index)
    return of_each


def _in_days(log: Log, places: Sequence[int], absence: Absence) -> Sequence[int]:
    """Those of some positions, which are in order, whose lines are of days away."""
    low = bisect_left(places, absence.first, key=log.dates.__getitem__)
    return places[low : bisect_right(places, absence.last, key=log.dates.__getitem__)]


def _finding(book: LintedBook, absence: Absence, lines: Sequence[int]) -> Finding:
    log = book.household.log
    index = lines[0]
    day, entry = log.dates[index], log.entries[index]
    chore = entry.items[0].name.value if entry.items else "something"
    gone = [person.value for person in entry.people if person.value in absence.people]
    who = f"{gone[0]} is" if gone else "everyone is"
    others = f"; {more(len(lines) - 1, 'line is', 'lines are')} so too" if len(lines) > 1 else ""
    why_away = f' "{absence.title}"' if absence.title else ""
    fix = _mended(book, absence, day)
    return RULE.finding(
        log.place(index),
        f'"{chore}" is done on {dated(day)}, when {who} away{others}',
        f"away {days_from(absence.first, absence.last)}{why_away}: no chore comes round then, so "
        "the line settles a day before or after, or none",
        f"mend the date of the line, or {fix.words}",
        (absence.place,),
        [fix] if fix.edits else (),
    )


def _mended(book: LintedBook, absence: Absence, day: int) -> Fix:
    """The fix that ends the days away before the day. If they begin on it, nobody knows when they
    should begin, and the fix has no edit."""
    if day == absence.first:
        return Fix(f"Let the days away begin later than {iso(day)}", ())
    node, (source, line, *_) = book.node_at(absence.place), absence.place
    assert isinstance(node, AwayLine)
    edit = over(node.last.at(source, line), iso(day - 1))
    return Fix(f"Let the days away end by {iso(day - 1)}", (edit,))

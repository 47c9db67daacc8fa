"""A line of the record by people who are away on its date.

Why it matters: days away ask for nothing. Either the date of the line is wrong, or the days away
are. Nothing is said of one person's named days away: whoever works a shift may do a chore before
it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence, Set
from functools import partial

from ledger.calendar.presence import days_absent
from ledger.household.model import Absence, Span
from ledger.household.record import Log
from ledger.lint.book import LintedBook, dated, iso, open_days_from
from ledger.text.edits import over
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.tree import AbsentLine, RecordEntry
from ledger.text.words import listed, more

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
    absences = [
        one
        for one in book.household.absences
        if one.keyword == "away" and not (one.people and one.names)
    ]
    if not absences or not log.dates:
        return
    people = frozenset(person for one in absences for person in one.people)
    of_each = book.memory.once("doings", partial(_doings, log, people), log, people)
    for absence in absences:
        days = days_absent(book.household, absence)
        # A line that names two of those who are away counts once.
        lines = {
            line
            for span in days.runs(log.dates[0], log.dates[-1])
            for who in absence.people or (None,)
            for line in _in_days(log, of_each.get(who, []), span)
        }
        if lines:
            yield _finding(book, absence, sorted(lines))


def _doings(log: Log, people: Set[str]) -> dict[str | None, list[int]]:
    """The positions of all lines of work, under None, and of those that name one of some people,
    under each."""

    def workers(entry: RecordEntry) -> list[str | None]:
        if entry.verb not in ("did", "worked"):
            return []
        return [None, *(one.value for one in entry.people if one.value in people)]

    return log.positions(workers)


def _in_days(log: Log, places: Sequence[int], days: Span) -> Sequence[int]:
    """Those of some positions, which are in order, whose lines are of a span of days."""
    low = bisect_left(places, days[0], key=log.dates.__getitem__)
    return places[low : bisect_right(places, days[1], key=log.dates.__getitem__)]


def _finding(book: LintedBook, absence: Absence, lines: Sequence[int]) -> Finding:
    log = book.household.log
    index = lines[0]
    day, entry = log.dates[index], log.entries[index]
    chore = f'"{entry.items[0].name.value}"' if entry.items else '"something"'
    what = chore if entry.verb == "did" else f"some of {chore}"
    gone = [person.value for person in entry.people if person.value in absence.people]
    who = f"{gone[0]} is" if gone else "everyone is"
    others = f"; {more(len(lines) - 1, 'line is', 'lines are')} so too" if len(lines) > 1 else ""
    number = next((n for n, span in enumerate(absence.spans) if span[0] <= day <= span[1]), None)
    days = listed(absence.names) if number is None else open_days_from(*absence.spans[number])
    why_away = f' "{absence.title}"' if absence.title else ""
    fix = _mended(book, absence, number, day)
    return RULE.finding(
        log.place(index),
        f"{what} is done on {dated(day)}, when {who} away{others}",
        f"away {days}{why_away}: nothing is asked then, so these days or the date of the line are "
        "wrong",
        f"mend the date of the line, or {fix.words}",
        (absence.place,),
        [fix] if fix.edits else (),
    )


def _mended(book: LintedBook, absence: Absence, number: int | None, day: int) -> Fix:
    """The fix that ends a span of days away before the day. If it begins on the day, or the days
    have a name, nobody knows when they should be, and the fix has no edit."""
    if number is None:
        return Fix(f"Mend the days of `{listed(absence.names)}`", ())
    if day == absence.spans[number][0]:
        return Fix(f"Let the days away begin later than {iso(day)}", ())
    node, (source, line, *_) = book.node_at(absence.place), absence.place
    assert isinstance(node, AbsentLine)
    first, last = node.spans.dates[number]
    if last is not None:
        edit = over(last.at(source, line), iso(day - 1))
    else:
        start = source.lines[line].rindex("from", 0, first.start)
        whole = first.at(source, line)._replace(start=start)
        edit = over(whole, f"{iso(first.value)} to {iso(day - 1)}")
    return Fix(f"Let the days away end by {iso(day - 1)}", (edit,))

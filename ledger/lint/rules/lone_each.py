"""A chore that says `by each of` and names one person.

Why it matters: `each` asks for the chore once from every person it names. Of one person it says no
more than `by NAME`, so either a name is missing, or the shorter words say the same.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Routine
from ledger.lint.book import LintedBook
from ledger.text.edits import write
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.parts import Names

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
person noor
person tam
area hall

every wednesday
    swim-things  5 min  in hall  by each of tam
                                 ^^^^^^^^^^^^^^
    wash-up     15 min  in hall  by noor or tam
"""

GOOD = """\
person noor
person tam
area hall

every wednesday
    swim-things  5 min  in hall  by tam
    wash-up     15 min  in hall  by noor or tam
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such line.

    There is none where another line of the chore asks someone else for a share: these keep the two
    people's times apart. Nor is there one where a name beside it is unknown, or stands twice.
    """
    for chore in book.household.chores.values():
        lines = [line for line in chore.routines if line.assignment.form == "each"]
        if len({person for line in lines for person in line.assignment.people}) != 1:
            continue
        for line in lines:
            turn = book.line_of(line).assignment
            if turn is not None and len(turn.people) == 1 and line.assignment.people:
                yield _finding(chore.name, line, turn.people)


def _finding(name: str, line: Routine, people: Names) -> Finding:
    (person,) = people
    place = line.name_place
    by = place.source.lines[place.line].rindex("by", 0, person.start)
    place = place._replace(start=by, end=person.end)
    shorter = write(place, f"by {person.value}")
    return RULE.finding(
        place,
        f'"{name}" is for each of one person, {person.value}',
        f"{person.value} alone is asked for it, so `each of` changes nothing; a name is missing, "
        "or two words are too many",
        f"{shorter.words}, or name the others behind `each of`, parted by commas",
        fixes=[shorter],
    )

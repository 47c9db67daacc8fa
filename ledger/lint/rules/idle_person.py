"""A person to whom no chore is given, where every chore is given to somebody.

Why it matters: others have work on their days that this person could share, and no list ever
has their name on it.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.calendar.presence import there
from ledger.lint.book import LintedBook
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.words import counted

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
person noor
person tam
       ^^^
area kitchen

every monday
    oven  40 min  in kitchen  by noor
"""

GOOD = """\
person noor
person tam
area kitchen

every monday
    oven  40 min  in kitchen  by noor then tam
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such person, unless an unreadable line may name them, or they are away or
    resting in all the year ahead."""
    household = book.household
    lines = [routine for chore in household.chores.values() for routine in chore.routines]
    lasting = [line.assignment for line in lines if book.lasts(line)]
    # What is given to nobody is for anyone.
    if not lasting or not all(one.people for one in lasting):
        return
    named = {person for line in lines for person in line.assignment.people}
    unread = [
        fault.place.source.lines[fault.place.line] for tree in book.trees for fault in tree.faults()
    ]
    given = counted(len(lasting), "line of a chore is", "lines of chores are")
    year = book.days_ahead[0], book.days_ahead[-1]
    for person in household.people.values():
        if person.name in named or any(person.name in text for text in unread):
            continue
        if there(household, person.name).first(*year) is None:
            continue
        yield RULE.finding(
            person.place,
            f'no chore is given to "{person.name}"',
            f"{given} in force, and each names others",
            f"write `or {person.name}` or `then {person.name}` behind the `by` of a chore, or "
            "`by each`",
        )

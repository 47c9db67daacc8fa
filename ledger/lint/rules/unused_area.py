"""An area in which no chore is done.

Why it matters: either nobody looks after that part of the home, or its name was changed
in the chores and not here.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.lint.book import LintedBook
from ledger.text.clauses import ChoreLine
from ledger.text.edits import delete_line
from ledger.text.finding import Finding, Kind, Severity

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
area attic
     ^^^^^
every monday
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each area that no chore names, unless an unreadable line may name it."""
    household = book.household
    used = {
        area.value
        for tree in book.trees
        for line in tree.lines
        if isinstance(line.node, ChoreLine)
        for area in line.node.areas
    }
    unread = [
        fault.place.source.lines[fault.place.line] for tree in book.trees for fault in tree.faults()
    ]
    for area in household.areas.values():
        if area.name not in used and not any(area.name in text for text in unread):
            yield RULE.finding(
                area.place,
                f'no chore is done in "{area.name}"',
                "nothing in the routine ever brings anyone there",
                f"write `in {area.name}` at a chore that is done there, or delete the line",
                fixes=[delete_line(area.place)],
            )

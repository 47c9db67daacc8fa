"""A section without a chore: a container with nothing in it.

Why it matters: it is taken out for nothing; often its chores were moved and it was forgotten,
or a header stands where a chore was meant.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.lint.book import LintedBook
from ledger.text.cadences import write_cadence
from ledger.text.clauses import SectionHeader
from ledger.text.edits import delete_line
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.tree import Step, Tree

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
every tuesday
^^^^^^^^^^^^^
every monday
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each header with no indented line below it, readable or not."""
    for tree in book.trees:
        header: tuple[SectionHeader, int] | None = None
        for line in tree.lines:
            if line.opens:
                if header is not None:
                    yield _finding(tree, *header)
                header = (line.node, line.number) if isinstance(line.node, SectionHeader) else None
            elif line.is_chore or isinstance(line.node, Step):
                header = None
        if header is not None:
            yield _finding(tree, *header)


def _finding(tree: Tree, section: SectionHeader, number: int) -> Finding:
    place = section.cadence.at(tree.source, number)
    return RULE.finding(
        place,
        f"`{write_cadence(section.cadence.value)}` has no chore",
        "its container would be taken out for nothing",
        "indent a chore under it, or delete the line",
        fixes=[delete_line(place)],
    )

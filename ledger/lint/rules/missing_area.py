"""A chore that does not say in which area it is done.

Why it matters: the list of an area leaves it out, and two products that must not meet are
only seen in one area when each chore says where it is.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.lint.book import LintedBook
from ledger.text.clauses import ChoreLine
from ledger.text.edits import write_clause
from ledger.text.finding import Finding, Kind, Severity

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
every monday
    oven  40 min
    ^^^^
    sink   5 min  in kitchen
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
    sink   5 min  in kitchen
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each chore line without `in`."""
    if not book.household.areas:
        return
    for tree in book.trees:
        for line in tree.lines:
            if isinstance(line.node, ChoreLine) and not line.node.areas:
                name = line.node.name
                area = next(iter(book.household.areas))
                clause = write_clause(tree.source, line.number, f"in {area}")
                yield RULE.finding(
                    name.at(tree.source, line.number),
                    f'"{name.value}" does not say where it is done',
                    "it counts for no area, so nobody sees from the areas that it is due",
                    f"{clause.words} after its minutes, or the area it is done in",
                    fixes=[clause],
                )

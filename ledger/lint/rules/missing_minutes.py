"""A chore that does not say how long it should take.

Why it matters: a day's total leaves it out, so a day can look as if it fitted.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.lint.book import LintedBook
from ledger.text.clauses import ChoreLine
from ledger.text.edits import write_behind
from ledger.text.finding import Finding, Kind, Severity

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
every monday
    oven  in kitchen
    ^^^^
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each chore line without a duration."""
    for tree in book.trees:
        for line in tree.lines:
            if isinstance(line.node, ChoreLine) and line.node.minutes is None:
                name = line.node.name
                learned = book.learned(name.value)
                known = f"; timed, it took {round(learned.minutes)} min" if learned else ""
                minutes = f"{round(learned.minutes) if learned else 10} min"
                place = name.at(tree.source, line.number)
                yield RULE.finding(
                    place,
                    f'"{name.value}" does not say how long it takes',
                    f"the total of its days counts it as nothing{known}",
                    f"write its minutes after its name, such as `{minutes}`",
                    fixes=[write_behind(place, minutes)] if learned else (),
                )

"""A line of the record dated more than a week before the line above it.

Why it matters: a record grows from day to day, and a line may be written a few days late. One that
is further back mostly has a slip in its month or its year, and its chores count as done on a day
on which they were not.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import islice
from operator import gt

from ledger.household.record import DATE_WIDTH
from ledger.lint.book import LintedBook, dated
from ledger.lint.fix import formatting
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.tree import Tree
from ledger.text.words import counted, more

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

every monday
    oven  40 min  in kitchen
2026-03-02 did oven
2026-02-09 did oven
^^^^^^^^^^
"""

GOOD = """\
area kitchen

every monday
    oven  40 min  in kitchen

2026-02-09 did oven
2026-03-02 did oven
"""

IS_SHAPE = True

LATE_DAYS = 7
"""Days by which a line may be late in being written."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each file, at its first such line, with how many more there are."""
    for tree in book.trees:
        label, find = (RULE.name, tree.source.path), partial(_back, tree, book.today)
        back = book.memory.once(label, find, tree.record, book.today)
        if back:
            yield _finding(tree, back)


def _back(tree: Tree, today: int) -> list[int]:
    """The lines of a record that go back too far, by their index."""
    dates = tree.record.dates
    if not any(map(gt, dates, islice(dates, 1, None))):
        return []
    return [
        index
        for index in range(1, len(dates))
        # The line above is not after today: such a line is a finding of its own.
        if dates[index] + LATE_DAYS < dates[index - 1] <= today
    ]


def _finding(tree: Tree, back: list[int]) -> Finding:
    record, index = tree.record, back[0]
    day, above = record.dates[index], record.dates[index - 1]
    others = f"; {more(len(back) - 1, 'line is', 'lines are')} so too" if len(back) > 1 else ""
    places = [
        TextRange(tree.source, record.numbers[number], 0, DATE_WIDTH)
        for number in (index, index - 1)
    ]
    return RULE.finding(
        places[0],
        f"{dated(day)} is {counted(above - day, 'day', 'days')} before the line above it{others}",
        f"if its date is a slip, what was done about {dated(above)} counts for {dated(day)}",
        "mend the date, or type `besom format`, which puts the record in order of date",
        (places[1],),
        partial(_ordering, tree),
    )


def _ordering(tree: Tree) -> tuple[Fix, ...]:
    """The fix that formats the file. It is not certain: the date may be a slip, and the file may be
    allowed to have another shape."""
    return tuple(fix._replace(is_certain=False) for fix in formatting(tree))

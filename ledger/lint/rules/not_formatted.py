"""A file that is not in the formatter's shape.

Why it matters: when two people write one book, each in their own spacing, every comparison
shows lines in which nothing changed.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from ledger.lint.book import LintedBook
from ledger.lint.fix import formatting
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.formatter import Misshapen, RecordShape, Shapes, misshapen, told_alone
from ledger.text.source import TextRange
from ledger.text.tree import Tree

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
area kitchen

every monday
  oven 40 min in kitchen
^^^^^^^^^^^^^^^^^^^^^^^^
"""

GOOD = """\
area kitchen

every monday
    oven  40 min  in kitchen
"""

IS_SHAPE = True


_MOST_SHAPES = 10_000
"""How many shapes of lines that are in no file any more may be kept."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such file, at the first line that would change."""
    # The one cached answer that is added to: the shape of an entry never changes.
    shapes: Shapes = book.memory.once("shapes", dict)
    if len(shapes) > _MOST_SHAPES + len(book.household.log.kinds):
        # Shapes of lines that were typed over are still in it.
        shapes.clear()
    for tree in book.trees:
        path = tree.source.path
        find_shape = partial(told_alone, tree, shapes)
        record_shape = book.memory.once(("lines told alone", path), find_shape, tree.record)
        yield from book.memory.once((RULE.name, path), partial(_found, tree, record_shape), tree)


def _found(tree: Tree, record_shape: RecordShape) -> list[Finding]:
    found = misshapen(tree, record_shape)
    return [] if found is None else [_finding(tree, found)]


def _finding(tree: Tree, found: Misshapen) -> Finding:
    source = tree.source
    line, changed = min(found.line, max(len(source.lines) - 1, 0)), found.changed
    what = (
        f"{changed} of its {len(source.lines)} lines"
        if changed
        else "its blank lines, line ends or order"
    )
    end = len(source.lines[line]) if source.lines else 0
    return RULE.finding(
        TextRange(source, line, 0, end),
        "the file is not in the formatter's shape from here on",
        f"the formatter would change {what}; until then a comparison of two versions shows "
        "spacing as change",
        "type `besom format` or `besom lint --fix`",
        fixes=partial(formatting, tree),
    )

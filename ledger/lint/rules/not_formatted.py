"""A file that is not in the formatter's shape.

Why it matters: when two people write one book, each in their own spacing, every comparison
shows lines in which nothing changed.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import zip_longest

from ledger.lint.book import Book
from ledger.text.finding import Finding, Severity
from ledger.text.formatter import format_tree, is_formatted
from ledger.text.source import Place, Source
from ledger.text.tree import Tree

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


def check(book: Book) -> Iterator[Finding]:
    """A finding for each such file, at the first line that would change."""
    shapes: dict[int, bool] = {}
    for tree in book.trees:
        label = "not-formatted", tree.source.path
        yield from book.memory.once(label, partial(_found, tree, shapes), tree)


def _found(tree: Tree, shapes: dict[int, bool]) -> list[Finding]:
    return [] if is_formatted(tree, shapes) else [_finding(tree)]


def _finding(tree: Tree) -> Finding:
    source = tree.source
    shaped = Source(source.path, format_tree(tree).removeprefix("\ufeff")).lines
    pairs = zip_longest(source.lines, shaped)
    first = next((n for n, (one, other) in enumerate(pairs) if one != other), 0)
    # Lines taken out or put in shift all below them: what counts is which lines are no longer.
    changed = len(set(source.lines) - set(shaped))
    line = min(first, max(len(source.lines) - 1, 0))
    what = (
        f"{changed} of its {len(source.lines)} lines"
        if changed
        else "its blank lines, line ends or order"
    )
    end = len(source.lines[line]) if source.lines else 0
    return Finding(
        "not-formatted",
        Severity.ADVICE,
        Place(source, line, 0, end),
        "the file is not in the formatter's shape from here on",
        f"the formatter would change {what}; until then a comparison of two versions shows "
        "spacing as change",
        "type `besom format` or `besom lint --fix`",
    )

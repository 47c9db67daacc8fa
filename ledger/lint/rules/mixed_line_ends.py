r"""A file whose lines end in two ways: some in LF, some in CR LF.

Why it matters: two systems have saved it in turn, and a comparison then shows every line of one
of them as changed.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from ledger.lint.book import LintedBook
from ledger.lint.fix import formatting
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.tree import Tree

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

every monday\r
^^^^^^^^^^^^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen

every monday
    oven  40 min  in kitchen
"""

IS_SHAPE = True


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such file, at the first line that ends in another way than line 1."""
    for tree in book.trees:
        label = RULE.name, tree.source.path
        yield from book.memory.once(label, partial(_found, tree), tree)


def _found(tree: Tree) -> list[Finding]:
    source = tree.source
    if "\r" not in source.text:
        return []
    ends = source.text.count("\r\n")
    if not 0 < ends < source.text.count("\n"):
        return []
    returned = [line.endswith("\r") for line in source.text.split("\n")]
    number = returned.index(not returned[0])
    return [
        RULE.finding(
            TextRange(source, number, 0, len(source.lines[number])),
            "this line ends in another way than the first one",
            f"{ends} of {source.text.count(chr(10))} lines end in CR LF, the others in LF; an "
            "editor that settles on one of them changes all the others",
            "type `besom format`: it gives every line the first one's end",
            fixes=partial(formatting, tree),
        )
    ]

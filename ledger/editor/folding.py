"""Folding: sections, chores with steps, months of the record, groups of declarations and
comments."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lsprotocol import types as lsp

from ledger.editor.sections import blocks, months
from ledger.editor.view import View
from ledger.text.clauses import NamedDays
from ledger.text.tree import AbsentLine, Declared, LimitLine, Setting, Tree


def folds(view: View, path: str) -> list[lsp.FoldingRange]:
    """The ranges of a file that can be folded, in order of place."""
    tree, positions = view.trees[path], view.positions(path)
    sections = list(blocks(tree))
    chores = ((block, chore) for block in sections for chore in block.chores)
    spans = [
        *((block.header.number, block.last, None) for block in sections),
        *((chore.number, block.last_of(chore), None) for block, chore in chores),
        *((month.first, month.last, None) for month in months(tree)),
        *((first, last, None) for first, last in _runs(_declarations(tree))),
        *((first, last, lsp.FoldingRangeKind.Comment) for first, last in _runs(_comments(tree))),
    ]
    return [
        lsp.FoldingRange(positions.at(first, 0).line, positions.at(last, 0).line, kind=kind)
        for first, last, kind in sorted(spans, key=lambda span: span[:2])
        if first < last
    ]


def _declarations(tree: Tree) -> Iterator[int]:
    declarations = Declared, NamedDays, LimitLine, Setting, AbsentLine
    return (line.number for line in tree.lines if isinstance(line.node, declarations))


def _comments(tree: Tree) -> Iterator[int]:
    return (line.number for line in tree.lines if line.is_comment)


def _runs(numbers: Iterable[int]) -> Iterator[tuple[int, int]]:
    """The first and last of each run of consecutive numbers."""
    run: tuple[int, int] | None = None
    for number in numbers:
        if run is not None and number == run[1] + 1:
            run = run[0], number
            continue
        if run is not None:
            yield run
        run = number, number
    if run is not None:
        yield run

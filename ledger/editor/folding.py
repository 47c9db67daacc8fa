"""Folding: sections, months of the record, and groups of declarations and comments."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lsprotocol import types as lsp

from ledger.editor.sections import blocks, months
from ledger.editor.view import View
from ledger.text.tree import AwayLine, Declared, LimitLine, Setting, Tree


def folds(view: View, path: str) -> list[lsp.FoldingRange]:
    """The ranges of a file that can be folded, in order of place."""
    tree, positions = view.trees[path], view.positions(path)
    spans = [
        *((block.header.number, block.last, None) for block in blocks(tree)),
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
    declarations = Declared, LimitLine, Setting, AwayLine
    return (line.number for line in tree.lines if isinstance(line.node, declarations))


def _comments(tree: Tree) -> Iterator[int]:
    return (
        line.number
        for line in tree.lines
        if line.node is None and line.fault is None and line.comment is not None
    )


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

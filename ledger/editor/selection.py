"""Selection: what to take in when a selection grows from a place, step by step."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lsprotocol import types as lsp

from ledger.editor.positions import Positions
from ledger.editor.sections import blocks
from ledger.editor.view import View
from ledger.text.classes import classes_of
from ledger.text.tree import Tree


def selections(view: View, path: str, places: Sequence[lsp.Position]) -> list[lsp.SelectionRange]:
    """For each place what a growing selection takes in: the word, what the line says, a chore with
    its steps, its section, the file."""
    return [_growing(view.trees[path], view.positions(path), place) for place in places]


def _growing(tree: Tree, positions: Positions, place: lsp.Position) -> lsp.SelectionRange:
    *inner, whole = (*_inside(tree, positions, *positions.own(place)), positions.whole)
    selection = lsp.SelectionRange(whole)
    for range_ in reversed(inner):
        if range_ != selection.range:
            selection = lsp.SelectionRange(range_, selection)
    return selection


def _inside(tree: Tree, positions: Positions, line: int, column: int) -> Iterator[lsp.Range]:
    """The ranges that hold a place, from the smallest on, without the file."""
    text = positions.line(line)
    words = [word for word in classes_of(text) if word.start <= column <= word.end]
    if words:
        yield positions.range(line, words[-1].start, words[-1].end)
    begin = len(text) - len(text.lstrip(" \t"))
    if begin <= column:
        yield positions.range(line, begin, max(begin, len(text.rstrip(" \t"))))
    for block in blocks(tree):
        if block.header.number <= line <= block.last:
            for chore in block.chores:
                if chore.number <= line <= block.last_of(chore):
                    yield _lines(positions, chore.number, block.last_of(chore))
            yield _lines(positions, block.header.number, block.last)


def _lines(positions: Positions, first: int, last: int) -> lsp.Range:
    """Whole lines, without the end of the last."""
    return lsp.Range(positions.at(first, 0), positions.at(last, len(positions.line(last))))

"""Settled: lines of the record that no version has changed, which need no merging.

A record grows at its end and has thousands of lines above. Those that stand alike at the head
of all versions, and are older than whatever differs, are left out of a merge but for the last
of them, and stand above that one as its comments do.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import islice
from operator import gt

from ledger.text.tree import Record, Tree

Lines = range
"""Numbers of lines that follow each other, counted from 0."""
NONE: Lines = range(0)


def settled_lines(trees: Sequence[Tree]) -> Lines:
    """The lines that each version may leave out; the line below them stands in all."""
    alike = _alike([tree.source.lines for tree in trees])
    record = trees[0].record
    routine = [
        line.number
        for line in trees[0].lines
        if line.number < alike and not (line.node is None and line.fault is None)
    ]
    first = routine[-1] + 1 if routine else 0
    begin, end = (bisect_left(record.numbers, number) for number in (first, alike))
    dates = record.dates[begin:end]
    if not dates or any(map(gt, dates, islice(dates, 1, None))):
        return NONE
    others = [
        day
        for tree in trees
        for rest in (tree.record.dates[:begin], tree.record.dates[end:])
        for day in rest
    ]
    # What is as old as a line that may move is merged with it. One line more stays behind, to
    # hold the place of those cut out: nothing can come between.
    count = bisect_left(dates, min((dates[-1], *others))) - 1
    return range(first, record.numbers[begin + count - 1] + 1) if count > 0 else NONE


def without(tree: Tree, settled: Lines) -> Tree:
    """A version without settled lines; line numbers stay those of the file."""
    if not settled:
        return tree
    record = tree.record
    begin = bisect_left(record.numbers, settled.start)
    end = bisect_right(record.numbers, settled.stop - 1)
    kept = Record(
        record.numbers[:begin] + record.numbers[end:],
        record.dates[:begin] + record.dates[end:],
        record.entries[:begin] + record.entries[end:],
        record.kinds,
    )
    lines = tuple(line for line in tree.lines if line.number not in settled)
    return Tree(tree.source, lines, kept)


def _alike(versions: Sequence[Sequence[str]]) -> int:
    """How many lines stand alike at the head of all versions."""
    count = 0
    for texts in zip(*versions, strict=False):
        if len(set(texts)) > 1:
            break
        count += 1
    return count

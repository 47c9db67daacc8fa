"""Settled: lines of the record that no version has changed, which need no merging.

A record grows at its end and has thousands of lines above. Those that stand alike in all
versions from the record's first line on, and are older than whatever differs, are left out of a
merge but for the first and the last of them, and stand above that one as its comments do.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from itertools import islice
from operator import gt

from ledger.text.tree import Record, Tree

Lines = range
"""Numbers of lines that follow each other, counted from 0."""
NONE: Lines = range(0)


def settled_lines(trees: Sequence[Tree]) -> list[Lines]:
    """The lines that each version may leave out; the lines around them stand in all."""
    nothing = [NONE for _ in trees]
    if not all(tree.record.numbers for tree in trees):
        return nothing
    starts = [tree.record.numbers[0] for tree in trees]
    first, start = trees[0], starts[0]
    end = bisect_left(first.record.numbers, start + _alike(trees, starts))
    dates = first.record.dates[:end]
    if not dates or any(map(gt, dates, islice(dates, 1, None))):
        return nothing
    # What is as old as a line that may move is merged with it. Of the others the last stays, to
    # hold the place of those left out: nothing can come between.
    oldest = min((dates[-1], *(day for tree in trees for day in tree.record.dates[end:])))
    count = bisect_left(dates, oldest)
    if count < 3:
        return nothing
    length = first.record.numbers[count - 2] - start
    return [range(start + 1, start + 1 + length) for start in starts]


def without(tree: Tree, settled: Lines) -> Tree:
    """A version without settled lines; line numbers stay those of the file."""
    if not settled:
        return tree
    record = tree.record
    begin, end = (bisect_left(record.numbers, n) for n in (settled.start, settled.stop))
    kept = Record(
        record.numbers[:begin] + record.numbers[end:],
        record.dates[:begin] + record.dates[end:],
        record.entries[:begin] + record.entries[end:],
        record.kinds,
    )
    lines = tuple(line for line in tree.lines if line.number not in settled)
    return Tree(tree.source, lines, kept)


def _alike(trees: Sequence[Tree], starts: Sequence[int]) -> int:
    """How many lines stand alike in all versions from a line of each on, as far as there are
    lines of the record, comments and blanks alone."""
    versions: Iterable[Iterable[str]] = (
        islice(tree.source.lines, start, None) for tree, start in zip(trees, starts, strict=True)
    )
    count = 0
    for texts in zip(*versions, strict=False):
        if len(set(texts)) > 1:
            break
        count += 1
    others = (
        line.number - starts[0]
        for line in trees[0].lines
        if line.number >= starts[0] and (line.node is not None or line.fault is not None)
    )
    return min(count, next(others, count))

"""Settled: lines of the record that no version changed, and that need no merging.

A record grows at its end and has thousands of lines above. Lines at its beginning are left out of a
merge if they are equal in all versions and older than all that differs. Only the first and the last
of them take part, and those between them are put above the last, like its comments. The same goes
for lines at the end of the file that are equal in all versions and newer than all that differs.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import islice
from operator import gt

from ledger.text.tree import Record, Tree

Lines = range
"""Numbers of lines that follow each other, counted from 0."""
Settled = tuple[Lines, ...]
"""The settled lines of one version: at most two ranges, its older lines and then its newer ones."""


def settled_lines(trees: Sequence[Tree]) -> list[Settled]:
    """The lines that each version may leave out. All versions have the lines around them."""
    if not all(tree.record.numbers for tree in trees):
        return [() for _ in trees]
    starts = [tree.record.numbers[0] for tree in trees]
    texts = [tree.source.lines for tree in trees]
    # `others` are neither record lines, comments nor blanks. Lines with comments must keep their
    # places: of two equal comments that both sides kept, the last is removed.
    others = [one.number for one in trees[0].lines if one.node is not None or one.fault is not None]
    remarks = [one.number for one in trees[0].lines if one.comment is not None]
    above = next((line for line in others if line >= starts[0]), len(texts[0])) - starts[0]
    common = min(above, alike([some[start:] for some, start in zip(texts, starts, strict=True)]))
    # An equal line belongs to one end or to the other.
    ends = [start + common for start in starts]
    below = len(texts[0]) - max((*others, *remarks), default=-1) - 1
    alike_below = min(
        below, alike([some[end:][::-1] for some, end in zip(texts, ends, strict=True)])
    )
    older, newer = _older(trees, ends[0]), _newer(trees, alike_below)
    return [
        tuple(
            range(lines.start + shift, lines.stop + shift)
            for lines, shift in (
                (older, start - starts[0]),
                (newer, len(some) - len(texts[0])),
            )
            if lines
        )
        for some, start in zip(texts, starts, strict=True)
    ]


def without(tree: Tree, settled: Settled) -> Tree:
    """A version without settled lines; line numbers stay those of the file."""
    for left_out in settled:
        record = tree.record
        begin, end = (bisect_left(record.numbers, n) for n in (left_out.start, left_out.stop))
        kept = Record(
            record.numbers[:begin] + record.numbers[end:],
            record.dates[:begin] + record.dates[end:],
            record.entries[:begin] + record.entries[end:],
            record.kinds,
        )
        lines = tuple(line for line in tree.lines if line.number not in left_out)
        tree = Tree(tree.source, lines, kept)
    return tree


def alike(texts: Sequence[Sequence[str]]) -> int:
    """How many lines are equal in all of some texts, from the first on."""
    count = 0
    for some in zip(*texts, strict=False):
        if len(set(some)) > 1:
            break
        count += 1
    return count


def _older(trees: Sequence[Tree], end: int) -> Lines:
    """The lines of the first version before line `end`, all equal, that are older than the rest."""
    record = trees[0].record
    alike = bisect_left(record.numbers, end)
    dates = record.dates[:alike]
    if _is_out_of_order(dates):
        return range(0)
    # A line that is as old as one that may move is merged with it. The last of the others stays,
    # to hold the place of those left out: nothing can come between.
    oldest = min((dates[-1], *(day for tree in trees for day in tree.record.dates[alike:])))
    count = bisect_left(dates, oldest)
    return _between(record.numbers[:count])


def _newer(trees: Sequence[Tree], alike: int) -> Lines:
    """Those of the last `alike` lines of the first version that are newer than the rest."""
    record = trees[0].record
    begin = bisect_left(record.numbers, len(trees[0].source.lines) - alike)
    dates = record.dates[begin:]
    if _is_out_of_order(dates):
        return range(0)
    others = (
        day for tree in trees for day in tree.record.dates[: len(tree.record.dates) - len(dates)]
    )
    newest = max((dates[0], *others))
    return _between(record.numbers[begin + bisect_right(dates, newest) :])


def _is_out_of_order(dates: Sequence[int]) -> bool:
    """True also for no dates, which have no order."""
    return not dates or any(map(gt, dates, islice(dates, 1, None)))


def _between(numbers: Sequence[int]) -> Lines:
    """The lines after the first of some record lines, up to the last but one."""
    return range(numbers[0] + 1, numbers[-2] + 1) if len(numbers) > 2 else range(0)

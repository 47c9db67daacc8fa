"""Sections as an editor sees them: a header with its chores, and the record by month."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import NamedTuple

from ledger.text.tree import ChoreLine, Line, Tree


class Block(NamedTuple):
    """A header and the chores below it."""

    header: Line
    chores: list[Line]

    @property
    def last(self) -> int:
        """The line of its last chore, or its own."""
        return self.chores[-1].number if self.chores else self.header.number


class Month(NamedTuple):
    """Lines of the record that stand together and are of one month."""

    name: str
    """As ISO 8601 has it, such as 2026-03."""
    first: int
    last: int
    lines: int


def blocks(tree: Tree) -> Iterator[Block]:
    """The sections of a file in order, each with its chores."""
    block: Block | None = None
    for line in tree.lines:
        if line.opens:
            if block is not None:
                yield block
            # A header that cannot be read takes the chores below it.
            block = None if line.node is None else Block(line, [])
        elif isinstance(line.node, ChoreLine) and block is not None:
            block.chores.append(line)
    if block is not None:
        yield block


def months(tree: Tree) -> Iterator[Month]:
    """The record of a file by month, as far as its lines stand together."""
    lines = zip(tree.record.numbers, tree.record.dates, strict=True)
    for month, some in groupby(lines, key=lambda line: date.fromordinal(line[1]).replace(day=1)):
        numbers = [number for number, _ in some]
        yield Month(f"{month:%Y-%m}", numbers[0], numbers[-1], len(numbers))

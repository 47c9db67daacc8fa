"""Sections as an editor sees them: a header with its chores, and the record by month."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby
from typing import NamedTuple

from ledger.text.clauses import ChoreLine
from ledger.text.tree import Line, Tree


@dataclass
class Block:
    """A header and the chores below it."""

    header: Line
    steps: Mapping[int, list[Line]]
    """The steps of each chore of the file that has any, by its line."""
    last: int
    """The line of its last chore or step, unreadable ones included, or else of its header."""
    chores: list[Line] = field(default_factory=list)

    def last_of(self, chore: Line) -> int:
        """The line of the last step of a chore, or else of the chore."""
        return self.steps.get(chore.number, [chore])[-1].number


class Month(NamedTuple):
    """Record lines of one month that follow each other."""

    name: str
    """In ISO 8601, such as 2026-03."""
    first: int
    last: int
    lines: int


def blocks(tree: Tree) -> Iterator[Block]:
    """The sections of a file in order, each with its chores."""
    block: Block | None = None
    steps: dict[int, list[Line]] = {}
    for step, owner in tree.owned_steps():
        if owner is not None:
            steps.setdefault(owner.number, []).append(step)
    for line in tree.lines:
        if line.opens:
            if block is not None:
                yield block
            # Chores below a header that cannot be read belong to no section.
            block = None if line.node is None else Block(line, steps, line.number)
        elif block is not None and (line.is_chore or line.is_step):
            block.last = line.number
            if isinstance(line.node, ChoreLine):
                block.chores.append(line)
    if block is not None:
        yield block


def months(tree: Tree) -> Iterator[Month]:
    """The record of a file in runs of lines of one month."""
    lines = zip(tree.record.numbers, tree.record.dates, strict=True)
    for month, some in groupby(lines, key=lambda line: date.fromordinal(line[1]).replace(day=1)):
        numbers = [number for number, _ in some]
        yield Month(f"{month:%Y-%m}", numbers[0], numbers[-1], len(numbers))

"""Totals: the minutes of a section, beside its header."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from lsprotocol import types as lsp

from ledger.editor.sections import Block, blocks
from ledger.editor.view import View
from ledger.household.model import Routine
from ledger.text.words import counted, duration


class Total(NamedTuple):
    """The chores and minutes of a section each time it comes round."""

    chores: int
    minutes: int
    untimed: int
    """Chores that declare no minutes; they add none."""


def total_of(view: View, path: str, block: Block) -> Total:
    """The total of a section's lines that are in force or still to begin. A chore that several
    people each do counts its minutes once for each."""
    lines = [
        routine
        for line in block.chores
        if (named_routine := view.routines.get((path, line.number))) is not None
        for routine in [named_routine[1]]
        if _counts(view, routine)
    ]
    amounts = [(line.minutes or 0) * line.shares for line in lines]
    return Total(len(lines), sum(amounts), sum(line.minutes is None for line in lines))


def _counts(view: View, routine: Routine) -> bool:
    # The lines of a paused section count; a paused line in another section does not.
    paused = routine.paused and not routine.section.paused
    return not paused and (routine.last is None or routine.last >= view.today)


def total_text(total: Total) -> str:
    """A total in words: `45 min, 3 chores`."""
    chores = counted(total.chores, "chore", "chores")
    untimed = f", {total.untimed} without minutes" if total.untimed else ""
    return f"{duration(total.minutes)}, {chores}{untimed}"


def totals(view: View, path: str, range_: lsp.Range) -> list[lsp.InlayHint]:
    """The total of each section whose header is in a range, at the end of the header."""
    return list(_totals(view, path, range_))


def _totals(view: View, path: str, range_: lsp.Range) -> Iterator[lsp.InlayHint]:
    positions = view.positions(path)
    for block in blocks(view.trees[path]):
        number = block.header.number
        end = positions.at(number, len(positions.line(number)))
        if range_.start.line <= end.line <= range_.end.line and block.chores:
            text = total_text(total_of(view, path, block))
            yield lsp.InlayHint(end, text, padding_left=True, tooltip="each time it comes round")

"""Pieces: what becomes of a unit, as lines to be written or to be chosen from."""

from __future__ import annotations

from typing import NamedTuple

Lines = tuple[str, ...]


class Choice(NamedTuple):
    """Lines on which both sides agree, or what each of them wants instead."""

    ours: Lines
    theirs: Lines

    @property
    def clashes(self) -> bool:
        """True where the two sides want different things."""
        return self.ours != self.theirs


def agreed(*lines: str) -> Choice:
    """Lines that nobody has to choose from."""
    return Choice(lines, lines)


class Piece(NamedTuple):
    """What becomes of a unit: its line, and its steps if it has any."""

    lead: Lines
    choices: tuple[Choice, ...]

    @property
    def ours(self) -> Lines:
        """All its lines, as our side wants them."""
        return tuple(line for choice in self.choices for line in choice.ours)

    @property
    def theirs(self) -> Lines:
        """All its lines, as the other side wants them."""
        return tuple(line for choice in self.choices for line in choice.theirs)

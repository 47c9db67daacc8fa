"""Width: how many columns of a terminal, or of an editor, characters take."""

from __future__ import annotations

import unicodedata


def width(text: str) -> int:
    """Columns that a text takes in a terminal: wide East Asian 2, combining marks none.

    After Unicode Standard Annex 11, East Asian Width.
    """
    if text.isascii():
        return len(text)
    return sum(map(columns_of, text))


def columns_of(character: str) -> int:
    """Columns of one character."""
    if character.isascii():
        return 1
    if unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1

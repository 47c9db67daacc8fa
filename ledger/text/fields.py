"""Fields: the kinds of value that answers hold, and what each of them may be.

`grammar/make_schemas.py` makes the JSON Schemas from the types of the answers and from this module.
A field without a docstring of its own is described by that of its kind.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, NamedTuple


class Bounds(NamedTuple):
    """The limits of a number, or of the length of a text or a list."""

    least: int
    most: int | None = None


class OneOf:
    """The words that a text may be, where its type is plain text."""

    def __init__(self, *words: str) -> None:
        self.words = words


class Pattern(NamedTuple):
    """The regular expression (ECMA-262, as JSON Schema has it) that a text matches."""

    regex: str


Count = Annotated[int, Bounds(0)]
Positive = Annotated[int, Bounds(1)]
Amount = Annotated[float, Bounds(0)]
NonEmpty = Annotated[str, Bounds(1)]

HouseholdTitle = str | None
"""Title of the household; None where the book has none."""
PersonAsked = str | None
"""Name of the person whose tasks are listed; None for everybody's."""
AreaAsked = str | None
"""Name of the area whose tasks are listed; None for all."""
DayLimit = Count | None
"""Minutes that fit in the day, as the book says: the household's, or the person's own; None where
it sets no limit, and for an area."""
ChoreName = NonEmpty
"""Name of the chore."""
ChoreTitle = str
"""Its title; without one, the name with its hyphens as spaces."""
ShareOf = str | None
"""Name of the person whose own share it is, for a chore that each does; else None."""
FirstDay = date
"""First day on which it may be done, after any move."""
LastDay = date
"""Last day on which it is in time, after any move."""
FileName = NonEmpty
"""The file, as it was named or found."""
LineNumber = Positive
"""The line of the file, counted from 1."""
Authority = str
"""Who says so, and how that is known."""
LastWord = str
"""What comes before every caution: the product's label, local rules, a licensed trade."""

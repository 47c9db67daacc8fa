"""Holes: where a planner's rings go through a page."""

from __future__ import annotations

import re
from typing import NamedTuple

from ledger.render.paper.measures import MM_OF_INCH, MeasureFault, Size, read_length

CLEAR = 2.5
"""Millimetres between a hole and the text, and between a hole and the page's end."""


class Holes(NamedTuple):
    """Holes along the left edge of a page, in millimetres."""

    centres: tuple[float, ...]
    """Down from the middle of the page."""
    diameter: float
    edge: float
    """From the edge of the page to the centres."""

    @property
    def height(self) -> float:
        """What the page must have."""
        return self.centres[-1] - self.centres[0] + self.diameter + 2 * CLEAR

    @property
    def margin(self) -> float:
        """What the text keeps from the edge."""
        return self.edge + self.diameter / 2 + CLEAR


def _row(count: int, apart: float, diameter: float = 6, edge: float = 12) -> Holes:
    """Holes of equal distances. The diameter and the edge are those of ISO 838."""
    first = -(count - 1) * apart / 2
    return Holes(tuple(first + number * apart for number in range(count)), diameter, edge)


def _two_groups(apart: float, between: float) -> Holes:
    """Two times three holes for a planner of six rings, with so much between the groups."""
    half = [between / 2 + number * apart for number in range(3)]
    return Holes((*(-one for one in reversed(half)), *half), 5.5, 6.5)


PUNCHES: dict[str, tuple[tuple[float, Holes], ...]] = {
    "2": ((0, _row(2, 80)),),
    "3": ((250, _row(3, 4.25 * MM_OF_INCH, 7, 12.7)), (0, _row(3, 2.75 * MM_OF_INCH, 7, 12.7))),
    "4": ((0, _row(4, 80)),),
    "6": ((190, _two_groups(19, 70)), (0, _two_groups(19, 51))),
}
"""By how many holes, each with the height of a page from which on they are so. Two: ISO 838 (1974),
Holes for general filing purposes: 80 mm apart, 6 mm wide, 12 mm from the edge. Four: the same,
carried on. Three (letter, half-letter) and six (A5, narrow planners): common practice, no source.
All from memory."""

_OWN = re.compile(r"([0-9]{1,2})\s*[x×*]\s*(\S.*)")
_MOST = 30


def read_punch(text: str, page: Size) -> Holes:
    """The holes of a text such as `2`, or `4x45mm`: four, 45 mm apart. Raises MeasureFault, also if
    the page has no room for them."""
    text = text.strip().lower()
    if text in PUNCHES:
        holes = next(holes for least, holes in PUNCHES[text] if page.height >= least)
    elif (own := _OWN.fullmatch(text)) and 1 <= int(own[1]) <= _MOST:
        holes = _row(int(own[1]), read_length(own[2]))
    else:
        names = ", ".join(PUNCHES)
        raise MeasureFault(
            f'"{text}" is no row of holes; write {names}, or how many and how far apart: `4x45mm`'
        )
    if holes.height > page.height:
        raise MeasureFault(
            f"holes by `--punch {text}` need a page {holes.height:.0f} mm high; this one has "
            f"{page.height:g} mm"
        )
    return holes

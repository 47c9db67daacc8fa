"""Measures: lengths in millimetres as a person types them, and the sizes of pages."""

from __future__ import annotations

import re
from typing import NamedTuple

MM_OF_INCH = 25.4
LEAST, MOST = 1.0, 2000.0
"""Millimetres that a side may have."""


class MeasureFault(ValueError):
    """A text is no measure; the message says what to type."""


class Size(NamedTuple):
    """Width and height in millimetres."""

    width: float
    height: float

    @property
    def turned(self) -> Size:
        """The same page, lying."""
        return Size(self.height, self.width)

    def __str__(self) -> str:
        return f"{self.width:g} x {self.height:g} mm"


PAGES = {
    "A4": Size(210, 297),
    "A5": Size(148, 210),
    "A6": Size(105, 148),
    "letter": Size(8.5 * MM_OF_INCH, 11 * MM_OF_INCH),
    "half-letter": Size(5.5 * MM_OF_INCH, 8.5 * MM_OF_INCH),
}
"""Pages by name. A4, A5 and A6: ISO 216 (2007), Writing paper, trimmed sizes, A series. Letter: 8.5
by 11 inches, ANSI/ASME Y14.1, size A; half of it is common practice, no source. All from memory."""

_LENGTH = re.compile(r"([0-9]{1,4}(?:[.,][0-9]{1,5})?)[ ]?(mm|cm|in)?")
_INTO_MM = {"mm": 1.0, "cm": 10.0, "in": MM_OF_INCH}


def read_length(text: str, least: float = LEAST) -> float:
    """The millimetres of a length such as `60`, `60mm`, `6 cm` or `2.5in`. Raises MeasureFault."""
    found = _LENGTH.fullmatch(text.strip().lower())
    if found is None:
        raise MeasureFault(f'"{text}" is no length; write millimetres, such as `60mm`')
    length = float(found[1].replace(",", ".")) * _INTO_MM[found[2] or "mm"]
    if not least <= length <= MOST:
        raise MeasureFault(f'"{text}" is no length from {least:g} to {MOST:g} mm')
    return length


def read_size(text: str) -> Size:
    """The size of a text such as `60x25mm`; a unit of one side counts for both. Raises
    MeasureFault."""
    sides = [side.strip() for side in re.split(r"[x×*]", text.strip().lower())]
    if len(sides) != 2:
        raise MeasureFault(f'"{text}" is no size; write width and height, such as `60x25mm`')
    units = [side.lstrip("0123456789.,").strip() for side in sides]
    width, height = (
        read_length(side if own else side + other)
        for side, own, other in zip(sides, units, reversed(units), strict=True)
    )
    return Size(width, height)


def read_page(text: str) -> Size:
    """The size of a page, by its name or by its measures. Raises MeasureFault."""
    for name, size in PAGES.items():
        if text.strip().casefold() == name.casefold():
            return size
    try:
        return read_size(text)
    except MeasureFault as fault:
        names = ", ".join(PAGES)
        raise MeasureFault(
            f'"{text}" is no page; write {names}, or measures: `148x210mm`'
        ) from fault


def named_page(size: Size) -> str:
    """The name of a page, or its measures if it has none."""
    return next((name for name, known in PAGES.items() if known == size), str(size))

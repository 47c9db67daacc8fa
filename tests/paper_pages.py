"""Pages of a PDF, seen from outside: what is drawn and written where, in millimetres from the upper
left corner of its page."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date
from functools import cache
from io import BytesIO
from typing import Any, NamedTuple

import pdfplumber
from fontTools.ttLib import TTFont

from ledger.render.paper.fonts import OUR_FILES

MM_OF_POINT = 25.4 / 72
"""A point of PDF is a 72nd of an inch (ISO 32000-2, 8.3.2.3)."""
NO_WIDTH = "\u200b"
"""May stand in a word that is longer than a line."""


def spoken(text: str) -> str:
    """A text of a book with its dates as paper has them."""
    days = re.compile(r"\d{4}-\d\d-\d\d")
    return days.sub(lambda found: f"{date.fromisoformat(found[0]):%-d %B %Y}", text)


class Box(NamedTuple):
    """A rectangle around something."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top

    @property
    def middle(self) -> tuple[float, float]:
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def holds(self, other: Box, slack: float = 0.1) -> bool:
        """True if another box lies inside."""
        return (
            self.left <= other.left + slack
            and self.top <= other.top + slack
            and self.right >= other.right - slack
            and self.bottom >= other.bottom - slack
        )


class Word(NamedTuple):
    """A word with its place."""

    text: str
    box: Box
    """As high as its type."""
    ink: Box
    """As high as its letters, where its font is ours."""
    upright: bool
    """False for a word that is turned."""
    size: float
    """Of its type, in points."""


class Page(NamedTuple):
    """A page with what is on it."""

    width: float
    height: float
    words: tuple[Word, ...]
    rectangles: tuple[Box, ...]
    lines: tuple[Box, ...]
    curves: tuple[Box, ...]
    """Circles and other shapes."""
    fonts: frozenset[str]

    def inside(self, box: Box) -> list[Word]:
        """The words whose middle lies in a box, in the order in which they were written."""
        return [word for word in self.words if box.holds(_point(word.box.middle), 0)]


def pages_of(pdf: bytes) -> list[Page]:
    """The pages of a PDF."""
    with pdfplumber.open(BytesIO(pdf)) as document:
        return [_page(page) for page in document.pages]


def _page(page: Any) -> Page:
    return Page(
        width=page.width * MM_OF_POINT,
        height=page.height * MM_OF_POINT,
        words=tuple(_words(page.chars, page.height)),
        rectangles=tuple(map(_box, page.rects)),
        lines=tuple(map(_box, page.lines)),
        curves=tuple(map(_box, page.curves)),
        fonts=frozenset(char["fontname"] for char in page.chars),
    )


def _words(chars: list[dict[str, Any]], height: float) -> Iterator[Word]:
    """Words in the order in which they were written, whichever way up: what follows without a
    blank, on one line, in one size."""
    run: list[dict[str, Any]] = []
    for char in chars:
        blank = not char["text"].strip()
        if run and (blank or not _follows(run[-1], char)):
            yield _word(run, height)
            run = []
        if not blank and char["text"] != NO_WIDTH:
            run.append(char)
    if run:
        yield _word(run, height)


def _follows(before: dict[str, Any], after: dict[str, Any]) -> bool:
    (a, *_, before_y), (b, *_, after_y) = before["matrix"], after["matrix"]
    gap = after["x0"] - before["x1"] if a > 0 else before["x0"] - after["x1"]
    same = a * b > 0 and before["size"] == after["size"] and abs(before_y - after_y) < 0.1
    return bool(same and abs(gap) < 0.15 * after["size"])


def _word(run: list[dict[str, Any]], height: float) -> Word:
    return Word(
        text="".join(char["text"] for char in run).replace(NO_WIDTH, ""),
        box=_around([_box(char) for char in run]),
        ink=_around([_ink(char, height) for char in run]),
        upright=run[0]["matrix"][0] > 0,
        size=run[0]["size"],
    )


def _around(boxes: Sequence[Box]) -> Box:
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return Box(min(lefts), min(tops), max(rights), max(bottoms))


def _ink(char: dict[str, Any], height: float) -> Box:
    """The box of a character, as high as its outline."""
    whole = _box(char)
    extent = _extent(char["fontname"].partition("+")[2], char["text"])
    if extent is None:
        return whole
    scale, baseline = char["matrix"][3], char["matrix"][5]
    edges = [(height - baseline - part * scale) * MM_OF_POINT for part in extent]
    return whole._replace(top=min(edges), bottom=max(edges))


@cache
def _extent(font: str, text: str) -> tuple[float, float] | None:
    """How far the outlines of some characters reach below and above the line, for a size of 1."""
    path = next((path for path in OUR_FILES if path.stem == font), None)
    if path is None:
        return None
    with TTFont(path) as file:
        glyphs, names = file["glyf"], file.getBestCmap()
        drawn = [glyphs[names[ord(one)]] for one in text if ord(one) in names]
        reach = [(one.yMin, one.yMax) for one in drawn if one.numberOfContours]
        unit = file["head"].unitsPerEm
    return min(low for low, _ in reach) / unit, max(high for _, high in reach) / unit


def _box(of: dict[str, Any]) -> Box:
    return Box(*(of[side] * MM_OF_POINT for side in ("x0", "top", "x1", "bottom")))


def _point(at: tuple[float, float]) -> Box:
    return Box(*at, *at)


def unembedded(pdf: bytes) -> set[str]:
    """The names of fonts that the file does not carry."""
    missing = set()
    with pdfplumber.open(BytesIO(pdf)) as document:
        for page in document.pages:
            for font in _fonts(page.page_obj.resources):
                if not any(key.startswith("FontFile") for key in _descriptor(font)):
                    missing.add(str(font.get("BaseFont")))
    return missing


def _fonts(resources: Any) -> list[dict[str, Any]]:
    from pdfminer.pdftypes import resolve1

    fonts = resolve1(resources.get("Font") or {})
    return [resolve1(font) for font in fonts.values()]


def _descriptor(font: dict[str, Any]) -> dict[str, Any]:
    from pdfminer.pdftypes import resolve1

    # A composite font has its file in that of its one descendant (ISO 32000-2, 9.7.1).
    if "DescendantFonts" in font:
        font = resolve1(resolve1(font["DescendantFonts"])[0])
    found: dict[str, Any] = resolve1(font.get("FontDescriptor") or {})
    return found


def room_before(word: Word, words: Sequence[Word]) -> float:
    """The millimetres between a word and the one before it in its line; endless if it is the
    first."""
    middle = word.box.middle[1]
    in_line = [one.box for one in words if one.box.top < middle < one.box.bottom]
    before = [word.box.left - box.right for box in in_line if box.left < word.box.left]
    return min(before, default=float("inf"))

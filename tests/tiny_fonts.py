"""Tiny fonts for tests: a few characters, each a rectangle."""

from __future__ import annotations

from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen


def write_font(
    path: Path,
    characters: str,
    family: str = "Odd",
    *,
    weight: int = 400,
    weights: tuple[int, int] | None = None,
    reach: tuple[int, int] = (0, 600),
) -> Path:
    """Write a font with some characters; with `weights`, one whose weight varies between them.

    `reach` says from where to where its characters go, in thousandths of the size; the font itself
    always says that it goes from -200 to 800.
    """
    glyphs = {ord(character): f"u{ord(character):X}" for character in characters}
    order = [".notdef", *glyphs.values()]
    pen = TTGlyphPen(None)
    low, high = reach
    pen.moveTo((50, low))
    for corner in ((50, high), (550, high), (550, low)):
        pen.lineTo(corner)
    pen.closePath()
    rectangle = pen.glyph()
    font = FontBuilder(1000, isTTF=True)
    font.setupGlyphOrder(order)
    font.setupCharacterMap(glyphs)
    blank = {glyphs[ord(" ")]: TTGlyphPen(None).glyph()} if " " in characters else {}
    font.setupGlyf({**dict.fromkeys(order, rectangle), **blank})
    font.setupHorizontalMetrics(dict.fromkeys(order, (600, 50)))
    font.setupHorizontalHeader(ascent=800, descent=-200)
    names = {"familyName": family, "styleName": "Regular", "psName": f"{family}-Regular"}
    font.setupNameTable(names)
    edges = {"sTypoAscender": 800, "sTypoDescender": -200, "usWinAscent": 800, "usWinDescent": 200}
    font.setupOS2(**edges, usWeightClass=weight, sCapHeight=high, version=2)
    font.setupPost()
    if weights is not None:
        lightest, boldest = weights
        font.setupFvar([("wght", lightest, lightest, boldest, "Weight")], [])
        font.setupGvar({})
    font.save(path)
    return path

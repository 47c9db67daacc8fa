"""Tiny fonts for tests: a few characters, each a square."""

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
    height: int = 600,
) -> Path:
    """Write a font with some characters, so high; with `weights`, its weight varies between
    them."""
    glyphs = {ord(character): f"u{ord(character):X}" for character in characters}
    order = [".notdef", *glyphs.values()]
    pen = TTGlyphPen(None)
    pen.moveTo((50, 0))
    for corner in ((50, height), (550, height), (550, 0)):
        pen.lineTo(corner)
    pen.closePath()
    square = pen.glyph()
    font = FontBuilder(1000, isTTF=True)
    font.setupGlyphOrder(order)
    font.setupCharacterMap(glyphs)
    font.setupGlyf(dict.fromkeys(order, square))
    font.setupHorizontalMetrics(dict.fromkeys(order, (600, 50)))
    font.setupHorizontalHeader(ascent=800, descent=-200)
    names = {"familyName": family, "styleName": "Regular", "psName": f"{family}-Regular"}
    font.setupNameTable(names)
    edges = {"sTypoAscender": 800, "sTypoDescender": -200, "usWinAscent": 800, "usWinDescent": 200}
    font.setupOS2(**edges, usWeightClass=weight, sCapHeight=height, version=2)
    font.setupPost()
    if weights is not None:
        low, high = weights
        font.setupFvar([("wght", low, low, high, "Weight")], [])
        font.setupGvar({})
    font.save(path)
    return path

"""Fonts: the files that paper is set in, and which characters they lack.

Typesetting is silent where a font lacks a character, so the fonts' own tables are asked first.
"""

from __future__ import annotations

import shutil
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from font_source_sans_pro import font_directory
from fontTools.ttLib import TTFont, TTLibError

FAMILY = "Source Sans Pro"
OUR_FILES = tuple(
    Path(font_directory) / f"SourceSansPro-{weight}.ttf"
    for weight in ("Regular", "Semibold", "Bold")
)
"""The package has the same faces in a second format, so ours are named one by one."""
_FAMILY_NAMES = (16, 1)
"""Numbers in the table `name` (OpenType, name table, Name IDs): typographic family, else family."""


class FontFault(Exception):
    """A file is no font that can be used; the message says why."""


class Font(NamedTuple):
    """A family with its files and the characters that it has."""

    family: str
    files: tuple[Path, ...]
    characters: frozenset[int]


def our_font() -> Font:
    """The font that paper is set in where a call names none."""
    return Font(FAMILY, OUR_FILES, read_font(OUR_FILES[0]).characters)


def read_font(path: Path) -> Font:
    """The font in a file. Raises FontFault."""
    try:
        with TTFont(path, lazy=True, fontNumber=0) as font:
            names = (font["name"].getDebugName(number) for number in _FAMILY_NAMES)
            family = next((name for name in names if name), None)
            characters = frozenset(font.getBestCmap() or ())
    except OSError as fault:
        raise FontFault(f"{path}: cannot be read ({fault.strerror or fault})") from fault
    except (TTLibError, KeyError, ValueError, AssertionError) as fault:
        raise FontFault(f"{path}: is no font; name a .ttf, .otf or .ttc file") from fault
    if not family or not characters:
        raise FontFault(f"{path}: has no name or no characters; name another font")
    return Font(family, (path,), characters)


def lacking(texts: Iterable[str], fonts: Sequence[Font]) -> dict[str, str]:
    """The characters that none of the fonts has, each with the first text that holds it.

    What is never drawn by itself is left out: controls and blanks.
    """
    known = frozenset().union(*(font.characters for font in fonts))
    missing: dict[str, str] = {}
    for text in texts:
        for character in text:
            if ord(character) not in known and _is_drawn(character):
                missing.setdefault(character, text)
    return missing


def _is_drawn(character: str) -> bool:
    category = unicodedata.category(character)
    return category[0] not in "CZ" or category == "Co"


def texts_of(data: object) -> Iterator[str]:
    """All texts in what is to be printed."""
    if isinstance(data, str):
        yield data
    elif isinstance(data, dict):
        for value in data.values():
            yield from texts_of(value)
    elif isinstance(data, list | tuple):
        for value in data:
            yield from texts_of(value)


def gather(fonts: Sequence[Font], folder: Path) -> None:
    """Put copies of the files of some fonts into a folder, which typesetting searches."""
    for number, path in enumerate(file for font in fonts for file in font.files):
        shutil.copyfile(path, folder / f"{number:02}-{path.name}")

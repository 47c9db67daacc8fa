"""Fonts: the files that paper is set in, and which characters they lack.

Typesetting is silent where a font lacks a character, so the fonts' own tables are asked first.
"""

from __future__ import annotations

import logging
import re
import shutil
import string
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from font_source_sans_pro import font_directory
from fontTools.ttLib import TTFont

FAMILY = "Source Sans Pro"
OUR_FILES = tuple(
    Path(font_directory) / f"SourceSansPro-{weight}.ttf"
    for weight in ("Regular", "Semibold", "Bold")
)
"""The package has the same faces in a second format, so ours are named one by one."""
_FAMILY_NAMES = (16, 1)
"""Numbers in the table `name` (OpenType, name table, Name IDs): typographic family, else family."""
_MOST_BYTES = 2**28
_REGULAR, _BOLD = 400, 600
"""Weights of usWeightClass (OpenType, table OS/2): of a plain face, and of the lightest that is
bold (semibold)."""
_LETTERS = frozenset(map(ord, string.ascii_letters + string.digits))
_UNDRAWN = re.compile(
    "[\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e"
    "\u2060-\u206f\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufff8\U0001bca0-\U0001bca3"
    "\U0001d173-\U0001d17a\U000e0000-\U000e0fff]"
)
"""What has no shape of its own: Default_Ignorable_Code_Point of the Unicode Standard, from
memory."""

# It would tell of each oddity of a font on standard error.
logging.getLogger("fontTools").setLevel(logging.CRITICAL)


class FontFault(Exception):
    """A file is no font that can be used; the message says why."""


class Font(NamedTuple):
    """A family with its files and the characters that it has."""

    family: str
    files: tuple[Path, ...]
    characters: frozenset[int]
    weight: int = _REGULAR


def our_font() -> Font:
    """The font that paper is set in where a call names none."""
    return Font(FAMILY, OUR_FILES, read_font(OUR_FILES[0]).characters)


def chosen_fonts(paths: Iterable[Path]) -> list[Font]:
    """The fonts of some files, and ours, in the order in which they are asked for a character.

    One that has the Latin letters and the figures is for all the text and is asked before ours. One
    that lacks them, of another script or of pictures, is asked behind it. A font that bears the
    name of ours stands in its place. Raises FontFault.
    """
    given = [read_font(path) for path in paths]
    whole = [font for font in given if font.characters >= _LETTERS]
    ours = [] if any(font.family == FAMILY for font in given) else [our_font()]
    return [*whole, *ours, *(font for font in given if font not in whole)]


def read_font(path: Path) -> Font:
    """The font in a file; of a collection, the first. Raises FontFault."""
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise ValueError("no font is so large")
        with TTFont(path, lazy=True, fontNumber=0) as font:
            names = (font["name"].getDebugName(number) for number in _FAMILY_NAMES)
            family = next((name for name in names if name), None)
            characters = frozenset(font.getBestCmap() or ())
            weight = font["OS/2"].usWeightClass if "OS/2" in font else _REGULAR
    except OSError as fault:
        raise FontFault(f"{path}: cannot be read ({fault.strerror or fault})") from fault
    except Exception as fault:
        # Each table has its own way to fail where it is not what its font says.
        raise FontFault(f"{path}: is no font; name a .ttf, .otf or .ttc file") from fault
    if not family or not characters:
        raise FontFault(f"{path}: has no name or no characters; name another font")
    return Font(family, (path,), characters, weight)


def only_bold(fonts: Sequence[Font]) -> list[str]:
    """The families for all the text of which no plain face is there: plain text would be bold."""
    whole = [font for font in fonts if font.characters >= _LETTERS]
    plain = {font.family for font in whole if font.weight < _BOLD}
    return list(dict.fromkeys(font.family for font in whole if font.family not in plain))


def lacking(texts: Iterable[str], fonts: Sequence[Font]) -> dict[str, str]:
    """The characters that none of the fonts has, each with the first text that holds it.

    One that a font has put together or taken apart is there. What has no shape of its own is left
    out: controls, blanks, joiners.
    """
    known = frozenset().union(*(font.characters for font in fonts))
    missing: dict[str, str] = {}
    for text in texts:
        for character in unicodedata.normalize("NFC", text):
            if ord(character) in known or not _is_drawn(character):
                continue
            if not known.issuperset(map(ord, unicodedata.normalize("NFD", character))):
                missing.setdefault(character, text)
    return missing


def _is_drawn(character: str) -> bool:
    category = unicodedata.category(character)
    return category[0] != "Z" and category != "Cc" and not _UNDRAWN.match(character)


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


def gather(font: Font, folder: Path) -> None:
    """Put copies of the files of a font into a folder, which typesetting searches for names that
    end so. Raises OSError if they cannot be copied."""
    for number, path in enumerate(font.files):
        shutil.copyfile(path, folder / f"{number}.ttf")

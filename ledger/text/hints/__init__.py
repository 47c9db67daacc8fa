"""Hints: what an unreadable line was probably meant to say.

Imported only where a line is faulty, so that a sound book never pays for it.
"""

from __future__ import annotations

import unicodedata
from typing import TYPE_CHECKING

from ledger.text.finding import UNREADABLE_LINE, Finding, Fix, TextEdit
from ledger.text.source import Source, TextRange

if TYPE_CHECKING:
    from ledger.text.parser import LineFault

_WHY = {
    "declaration_line": "until it can be read this line says nothing",
    "chore_line": "this chore comes up nowhere until its line can be read",
    "record_line": "what this line records counts as not done until it can be read",
}


def unsafe_character(source: Source, number: int, column: int) -> Finding:
    """The finding of a character that no line may hold."""
    character = source.lines[number][column]
    code = ord(character)
    if 0xD800 <= code <= 0xDFFF:
        message = f"byte {code - 0xDC00:02X} is not UTF-8"
        fix = "save the file as UTF-8, or type the character anew"
    else:
        name = unicodedata.name(character, "a control character").lower()
        message = f"U+{code:04X} ({name}) cannot stand in a book"
        fix = "delete it; most editors can show such characters"
    why = "it can hide what the line says, or upset a terminal, so the line is not used"
    place = TextRange(source, number, column, column + 1)
    return UNREADABLE_LINE.finding(place, message, why, fix)


def explain(source: Source, number: int, start: str, stop: LineFault) -> Finding:
    """The finding of a line that the grammar cannot read and that is not a merge mark."""
    from ledger.text.hints.advice import advise
    from ledger.text.hints.misread import Misread

    advice = advise(Misread(source, source.lines[number], start, stop))
    place = TextRange(source, number, advice.begin, advice.end)
    fixes = tuple(
        Fix(title, (TextEdit(source.path, number, begin, number, end, new),), solves=solves)
        for title, (begin, end, new), solves in advice.cures
    )
    why = _WHY[advice.kind] + ("" if start == "declaration_line" else "; all other lines are used")
    return UNREADABLE_LINE.finding(place, advice.message, why, advice.fix, fixes=fixes)

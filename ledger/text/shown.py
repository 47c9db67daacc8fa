"""What may be shown: text from anywhere, made safe for a terminal and for whoever reads it."""

from __future__ import annotations

import re
import unicodedata

from ledger.text.source import UNSAFE_CHARACTERS

MOST_MARKS = 4
"""Marks on one letter that are shown; see below."""

# What is no part of a book is not shown either: controls of a terminal (ECMA-48), bytes that are
# no text, and the nine characters by which a line shows other words than it holds (Boucher and
# Anderson, Trojan Source, CVE-2021-42574; Unicode UAX #9). Further, what the Unicode Standard
# wants in no plain text (23.3, deprecated format characters, which change how all that follows
# them looks; 23.8, interlinear annotation, which hides text; 23.9, the language tag).
#
# Left as they are: U+061C, U+200E and U+200F, which do to the words beside them no more than any
# Hebrew or Arabic letter does, and which those who write these need (Unicode UTS #55); and what
# only does not show (joiners, variation selectors, the tags of a flag), which Persian, Indic
# scripts and emoji need. Two names that look alike can be made without any of them (UTS #39, 4).
UNSHOWN = re.compile(f"[{UNSAFE_CHARACTERS}\u206a-\u206f\ufff9-\ufffb\U000e0001]")

# A letter with more than four marks is unlikely in any language, and dozens of them are painted
# over the lines above and below (Unicode UTS #39, 5.4, optional detection).
_MAY_BE_MARKS = re.compile(f"[^\x00-\u02ff]{{{MOST_MARKS + 1},}}")


def safe(text: str) -> str:
    """One line of text without what could upset a terminal; each such character is U+FFFD.

    A line end is such a character too: a name must not begin a line of its own.
    """
    if text.isascii() and text.isprintable():
        return text
    shown = UNSHOWN.sub("\ufffd", text)
    return shown if shown.isascii() else _MAY_BE_MARKS.sub(_without_piles, shown)


def safe_lines(text: str, end: str = "\n") -> str:
    """Text whose lines end in this way, each of them made safe."""
    return end.join(map(safe, text.split(end)))


def _without_piles(run: re.Match[str]) -> str:
    """Letters and marks, with U+FFFD in the place of the marks that are too many on a letter."""
    kept, marks = [], 0
    for character in run[0]:
        marks = marks + 1 if unicodedata.category(character) in ("Mn", "Me") else 0
        if marks <= MOST_MARKS:
            kept.append(character)
        elif marks == MOST_MARKS + 1:
            kept.append("\ufffd")
    return "".join(kept)

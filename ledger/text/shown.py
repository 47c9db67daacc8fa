"""Safe text: text from anywhere, made safe for a terminal and for its reader."""

from __future__ import annotations

import re
import unicodedata

from ledger.text.source import UNSAFE_CHARACTERS

MOST_MARKS = 4
"""The most marks that are shown on one letter; see below."""

# Characters that a book may not hold are not shown: terminal controls (ECMA-48), bytes that are not
# text, and the nine characters that make a line show other words than it holds (Boucher and
# Anderson, Trojan Source, CVE-2021-42574; Unicode UAX #9). Nor is what the Unicode Standard advises
# against in plain text: deprecated format characters, which change how the text after them looks
# (23.3), interlinear annotation, which hides text (23.8), and the language tag (23.9).
#
# Left as they are: U+061C, U+200E and U+200F, which affect the words beside them no more than a
# Hebrew or Arabic letter does, and which writers of these scripts need (Unicode UTS #55). Also
# characters that are merely invisible (joiners, variation selectors, the tags of a flag), which
# Persian, Indic scripts and emoji need. Two names can look alike without any of them (UTS #39, 4).
UNSHOWN = re.compile(f"[{UNSAFE_CHARACTERS}\u206a-\u206f\ufff9-\ufffb\U000e0001]")

# A letter with more than four marks is unlikely in any language, and dozens of marks cover the
# lines above and below (Unicode UTS #39, 5.4, optional detection).
_MAY_BE_MARKS = re.compile(f"[^\x00-\u02ff]{{{MOST_MARKS + 1},}}")


def safe(text: str) -> str:
    """One line of text, with U+FFFD for each character that could upset a terminal.

    A line end is such a character too: a name must not begin a new line.
    """
    if text.isascii() and text.isprintable():
        return text
    shown = UNSHOWN.sub("\ufffd", text)
    return shown if shown.isascii() else _MAY_BE_MARKS.sub(_without_piles, shown)


def safe_lines(text: str, end: str = "\n") -> str:
    """Text with each line made safe; `end` is the line end."""
    return end.join(map(safe, text.split(end)))


def _without_piles(run: re.Match[str]) -> str:
    """Letters and marks, with one U+FFFD for all marks on a letter beyond the limit."""
    shown, marks = [], 0
    for character in run[0]:
        marks = marks + 1 if unicodedata.category(character) in ("Mn", "Me") else 0
        if marks <= MOST_MARKS:
            shown.append(character)
        elif marks == MOST_MARKS + 1:
            shown.append("\ufffd")
    return "".join(shown)

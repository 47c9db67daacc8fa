"""Layout: the sheet that a text is for, lines and columns that fit it, and dates for people."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from ledger.text.shown import safe
from ledger.text.values import DAYS, MONTHS
from ledger.text.width import columns_of, width
from ledger.text.words import counted, listed

HIDDEN_BLANK = "\ue000"
"""Stands for a blank where no line may break. As a private-use character, it is in no usual text.
"""
LATE, VITAL, DONE = "\u206a", "\u206b", "\u206c"
END = "\u206f"
"""Marks around words for which a terminal may have a colour. They take no column, and `safe` lets
none through, so no book can hold one."""
_WORD_OR_TIME = re.compile(r"\S*[0-9] (?:min|h)(?!\w)\S*|\S+")
_WORD_OR_TYPED = re.compile(r"(?:`[^`]*`|\S)+")


class Sheet(NamedTuple):
    """What a text is laid out on."""

    width: int = 80
    """Columns of a line."""
    is_coloured: bool = False
    """True where words may be marked for a colour."""

    def mark(self, text: str, kind: str) -> str:
        """The text, between marks where there are colours."""
        return f"{kind}{text}{END}" if self.is_coloured and text else text


PLAIN = Sheet()
"""Eighty columns without colours."""


def fit(text: str, columns: int) -> str:
    """The text, cut with an ellipsis if it is too wide."""
    if width(text) <= columns:
        return text
    kept, used = "", 0
    for character in text:
        used += columns_of(character)
        if used > columns - 1:
            break
        kept += character
    return kept.rstrip() + "…" if columns > 0 else ""


def wrap(text: str, indent: int, columns: int) -> str:
    """The text broken between words, all lines but the first indented. A number stays with its
    unit of time."""
    return _in_lines(_WORD_OR_TIME.findall(" ".join(text.split())), indent, columns)


def paragraph(text: str, indent: str, columns: int) -> str:
    """An indented text broken between words, its other lines indented by two more."""
    return indent + wrap(text, len(indent) + 2, columns)


def wrap_advice(text: str, indent: int, columns: int) -> str:
    """As `wrap`, but a text to type, which is in backticks, is not broken."""
    return _in_lines(_WORD_OR_TYPED.findall(text), indent, columns)


def _in_lines(words: Sequence[str], indent: int, columns: int) -> str:
    lines, line = [], ""
    for word in words:
        if line and width(line) + 1 + width(word) > columns - indent:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}" if line else word
    return ("\n" + " " * indent).join([*lines, line])


def wrap_whole(parts: Sequence[str], separator: str, indent: int, columns: int) -> str:
    """Parts in a row, broken between parts; a part is broken only if it is too long for a line."""
    # Blanks inside a part are hidden from the wrapping.
    hidden = (
        part.replace(" ", HIDDEN_BLANK) if width(part) < columns - indent else part
        for part in parts
    )
    return wrap(separator.join(hidden), indent, columns).replace(HIDDEN_BLANK, " ")


def in_one_line(head: str, parts: Sequence[str], columns: int) -> str:
    """The head with as many of the parts as fit in a line; without room for one, with their
    number."""
    counts = range(len(parts), min(len(parts), 2) - 1, -1)
    lines = (f"{head}: {listed(parts, most)}" for most in counts)
    number = f"{head}: {counted(len(parts), 'chore', 'chores')}"
    return next((line for line in lines if width(line) <= columns), number)


def heading(sheet: Sheet, when: str, *about: str | None) -> str:
    """The heading of an answer: its days, then the household, a person and so on, if given."""
    return wrap_whole([when, *(safe(part) for part in about if part)], ", ", 2, sheet.width)


def columns(rows: Sequence[Sequence[str]], right: frozenset[int] = frozenset()) -> list[str]:
    """The rows as lines, with two blanks between the columns; the columns of `right` are aligned
    right."""
    if not rows:
        return []
    widths = [max(width(row[n]) for row in rows) for n in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = []
        for n, cell in enumerate(row):
            if widths[n]:
                blanks = " " * (widths[n] - width(cell))
                cells.append(blanks + cell if n in right else cell + blanks)
        lines.append("  ".join(cells).rstrip())
    return lines


def long_day(day: date) -> str:
    """`Friday 20 November 2026`."""
    return f"{DAYS[day.weekday()].title()} {dated(day)}"


def dated(day: date) -> str:
    """`20 November 2026`."""
    return f"{day.day} {MONTHS[day.month - 1].title()} {day.year}"


def short_day(day: date) -> str:
    """`Fri 20 Nov`."""
    return f"{DAYS[day.weekday()][:3].title()} {day.day} {MONTHS[day.month - 1][:3].title()}"


def near_day(days: int) -> str | None:
    """`today`, `tomorrow` or `yesterday` for a day so many days from today; None for any other."""
    return {0: "today", 1: "tomorrow", -1: "yesterday"}.get(days)

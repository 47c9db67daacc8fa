"""Text about a call: messages within 80 columns, and lines to type."""

from __future__ import annotations

import re
import shlex
from collections.abc import Sequence

from ledger.render.layout import PLAIN, fit, wrap_advice
from ledger.text.shown import safe
from ledger.text.width import columns_of, width

WIDTH = PLAIN.width
_INDENT = 2
_CALL_INDENT = 4
_LONG = 40
"""Columns of a word of the call in a message; a longer one is cut."""
_MOST_LINES = 12
_MOST_PARTS = 3
"""How many lines a single word may fill."""


def wrapped(message: str) -> str:
    """A message in lines of 80 columns at most; one that is far too long is cut."""
    words = [part for word in re.split(r"[ \t]+", safe(message)) for part in _broken(word)]
    lines = wrap_advice(" ".join(words), _INDENT, WIDTH).split("\n")
    # A text to type may be too long for a line too.
    lines = [part for line in lines for part in _parts(line)]
    if len(lines) > _MOST_LINES:
        half = _MOST_LINES // 2
        lines[half:-half] = [" " * _INDENT + "…"]
    return "\n".join(lines)


def _parts(line: str) -> list[str]:
    """A line that is too long broken between its words."""
    if width(line) <= WIDTH:
        return [line]
    indent = len(line) - len(line.lstrip())
    parts = [" " * indent]
    for word in line.split():
        if parts[-1].strip() and width(parts[-1]) + 1 + width(word) > WIDTH:
            parts.append(" " * _INDENT)
        parts[-1] += word if not parts[-1].strip() else f" {word}"
    return parts


def _broken(word: str) -> list[str]:
    """The parts of a word that is too long for a line, as a path may be; broken behind a slash
    where it has one."""
    columns = WIDTH - _INDENT
    word = cut(word, _MOST_PARTS * columns)
    parts = []
    while width(word) > columns:
        part = _beginning(word, columns)
        part = part[: part.rfind("/") + 1] or part
        parts.append(part)
        word = word[len(part) :]
    return [*parts, word]


def cut(word: str, columns: int) -> str:
    """A word without its middle if it is too wide: a path is known by its beginning and end."""
    if width(word) <= columns:
        return word
    end = _beginning(word[::-1], columns // 2)[::-1]
    return fit(word, columns - width(end)) + end


def _beginning(word: str, columns: int) -> str:
    """As much of a word as fits."""
    used = 0
    for at, character in enumerate(word):
        used += columns_of(character)
        if used > columns:
            return word[:at]
    return word


def shown(word: str) -> str:
    """A word of the call for a message."""
    return cut(safe(word), _LONG)


def with_last(words: Sequence[str], link: str) -> str:
    """`text, csv or json`."""
    return f" {link} ".join([part for part in (", ".join(words[:-1]), words[-1]) if part])


def typed_line(words: Sequence[str] | None) -> str:
    """A call as a line to type; nothing if it cannot be typed as it stands, or is too long."""
    if words is None:
        return ""
    line = " " * _CALL_INDENT + shlex.join(["besom", *words])
    return f"{line}\n" if safe(line) == line and width(line) <= WIDTH else ""

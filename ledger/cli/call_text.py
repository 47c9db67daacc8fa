"""Text about a call: messages within 80 columns, and lines to type."""

from __future__ import annotations

import re
import shlex
from collections.abc import Sequence

from ledger.render.layout import WIDTH, fit, wrap_advice
from ledger.text.shown import safe
from ledger.text.width import width

_INDENT = 2
_CALL_INDENT = 4
_LONG = 40
"""Columns of a word of the call in a message; a longer one is cut."""
_MOST_LINES = 12


def wrapped(message: str) -> str:
    """A message in lines of 80 columns at most; words and messages that are too long are cut."""
    words = [
        cut(word, WIDTH - _INDENT - len("Error: ")) for word in re.split(r"[ \t]+", safe(message))
    ]
    lines = wrap_advice(" ".join(words), _INDENT).split("\n")
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


def cut(word: str, columns: int) -> str:
    """A word without its middle if it is too wide: a path is known by its beginning and end."""
    if width(word) <= columns:
        return word
    end = fit(word[: -columns - 1 : -1], columns // 2).rstrip("…")[::-1]
    return fit(word, columns - width(end)) + end


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

"""Edits: the ways to mend a text that findings offer, and a text with them.

Each helper makes a fix and its title at once, so that the text to type stands once; `words` of the
fix says it in a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from ledger.text.changed import changed
from ledger.text.finding import Fix, TextEdit
from ledger.text.source import Source, TextRange

_BODY = re.compile(r'[^"#]*')
_LINK = re.compile(r"[ \t]*,[ \t]*|[ \t]+(?:or|then)[ \t]+")


def write(place: TextRange, words: str) -> Fix:
    """Write these words in the place of others."""
    return Fix(f"Write `{words}`", (over(place, words),))


def write_behind(place: TextRange, words: str, link: str = "  ") -> Fix:
    """Write these words behind others."""
    return Fix(f"Write `{words}`", (over(place._replace(start=place.end), link + words),))


def write_clause(source: Source, line: int, words: str) -> Fix:
    """Write a clause behind those of a line, before its title and its comment."""
    body = _BODY.match(source.lines[line])
    end = len(body[0].rstrip(" \t")) if body else 0
    return write_behind(TextRange(source, line, end, end), words)


def delete(place: TextRange, title: str = "") -> Fix:
    """Delete some words with the blanks before them, or behind them where they come first; the
    whole line where it has no others."""
    text = place.source.lines[place.line]
    before, behind = text[: place.start].rstrip(" \t"), text[place.end :].lstrip(" \t")
    title = title or f"Delete `{place.text}`"
    if before:
        return Fix(title, (over(place._replace(start=len(before)), ""),))
    if behind:
        return Fix(title, (over(place._replace(end=len(text) - len(behind)), ""),))
    return Fix(title, (without_line(place),))


def delete_name(place: TextRange, words: str = "") -> Fix:
    """Delete a name out of the list in which it stands, with its keyword where it is alone; the
    title has these words in the place of the name."""
    title = f"Delete `{words or place.text}`"
    text = place.source.lines[place.line]
    before = text[: place.start].rstrip(" \t")
    word = before[max(map(before.rfind, (" ", "\t", ","))) + 1 :]
    head = before.removesuffix(word or ",").rstrip(" \t")
    behind = _LINK.match(text, place.end)
    if word in ("", "or", "then"):
        less = place._replace(start=len(head))
    elif behind is not None:
        less = place._replace(end=behind.end())
    else:
        return delete(place._replace(start=len(before) - len(word)), title)
    return Fix(title, (over(less, ""),))


def delete_line(place: TextRange, is_certain: bool = False) -> Fix:
    """Delete the line of a place."""
    return Fix("Delete this line", (without_line(place),), is_certain)


def add_line(above: TextRange | None, source: Source, words: str) -> Fix:
    """Add a line of these words below that of a place, or at the top of a file."""
    if above is None:
        edit = TextEdit(source.path, 0, 0, 0, 0, words + source.newline)
    else:
        source, line, *_ = above
        end = len(source.lines[line])
        edit = TextEdit(source.path, line, end, line, end, source.newline + words)
    return Fix(f"Add a line `{words}`", (edit,))


def over(place: TextRange, words: str) -> TextEdit:
    """The edit that puts words in the place of others."""
    source, line, start, end = place
    return TextEdit(source.path, line, start, line, end, words)


def without_line(place: TextRange) -> TextEdit:
    """The edit that takes the line of a place away."""
    return TextEdit(place.source.path, place.line, 0, place.line + 1, 0, "")


def to_text(source: Source, text: str) -> tuple[TextEdit, ...]:
    """The edit that makes a file another text, of its lines only those that change."""
    old, new = lines_of(source.text), lines_of(text)
    stretch = changed((old, new))
    if not stretch.size:
        return ()
    lines = "".join(new[stretch.first : stretch.new_end])
    return (TextEdit(source.path, stretch.first, 0, stretch.end, 0, lines),)


def lines_of(text: str) -> list[str]:
    """The lines of a text with their ends; nothing for what follows the last end."""
    lines = [line + "\n" for line in text.split("\n")]
    last = lines.pop().removesuffix("\n")
    return [*lines, last] if last else lines


def moved(fix: Fix, source: Source, line: int) -> Fix:
    """A fix of a line that was looked at by itself, at the line of a file."""
    edits = (
        edit._replace(path=source.path, line=line, end_line=line + edit.end_line - edit.line)
        for edit in fix.edits
    )
    return fix._replace(edits=tuple(edits))


def edited(sources: Iterable[Source], edits: Sequence[TextEdit]) -> list[Source]:
    """The files that some edits change, as they then are. No edit may reach into another; one that
    reaches beyond the last line ends with the text."""
    return [
        _edited(source, own)
        for source in sources
        if (own := [edit for edit in edits if edit.path == source.path])
    ]


def _edited(source: Source, edits: list[TextEdit]) -> Source:
    text, parts, at = source.text, list[str](), 0
    starts = [0, *(found.end() for found in re.finditer("\n", text)), len(text)]
    for _, line, start, end_line, end, new in sorted(edits):
        parts += [text[at : starts[line] + start], new]
        at = starts[end_line] + end
    return replace(source, text="".join([*parts, text[at:]]))

"""Edits: the fixes that findings offer, and texts with edits applied.

Each helper makes a fix together with its title, so that the text to type is written once. The fix's
`words` put the title into a sentence.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence, Set
from dataclasses import replace

from ledger.text.changed import changed
from ledger.text.finding import Fix, TextEdit
from ledger.text.parser import parser
from ledger.text.source import Source, TextRange
from ledger.text.tree import STEP

_BODY = re.compile(r'[^"#]*')
_LINK = re.compile(r"[ \t]*,[ \t]*|[ \t]+(?:or|then|and)[ \t]+")
_LIST = re.compile(rf"[^ \t,]+(?:(?:{_LINK.pattern})[^ \t,]+)*")

_NEAR = 400
"""Characters before and behind a name in which its list is looked at. A line may be very long."""


def word_place(place: TextRange, kind: str, before: int | None = None) -> TextRange:
    """The last word of a kind in the line at a place, as the grammar names it, before a column if
    one is given."""
    words = parser().tokens(place.source.lines[place.line])
    # A chore may have the name of a keyword, and stands before it.
    *_, word = (one for one in words if one.kind == kind and (before is None or one.end <= before))
    return place._replace(start=word.start, end=word.end)


def write(place: TextRange, words: str) -> Fix:
    """A fix that replaces a text with these words."""
    return Fix(f"Write `{words}`", (over(place, words),))


def write_behind(place: TextRange, words: str, link: str = "  ") -> Fix:
    """A fix that adds these words after a text."""
    return Fix(f"Write `{words}`", (over(place._replace(start=place.end), link + words),))


def write_clause(source: Source, line: int, words: str) -> Fix:
    """A fix that adds a clause to a line, before its title and its comment."""
    body = _BODY.match(source.lines[line])
    end = len(body[0].rstrip(" \t")) if body else 0
    return write_behind(TextRange(source, line, end, end), words)


def delete(place: TextRange, title: str = "") -> Fix:
    """A fix that deletes a text with the blanks before it, or after it at the start of the line.

    A line that holds nothing else is deleted whole.
    """
    text = place.source.lines[place.line]
    before, after = text[: place.start].rstrip(" \t"), text[place.end :].lstrip(" \t")
    title = title or f"Delete `{place.text}`"
    if before:
        return Fix(title, (over(place._replace(start=len(before)), ""),))
    if after:
        return Fix(title, (over(place._replace(end=len(text) - len(after)), ""),))
    return Fix(title, (without_line(place),))


def delete_name(place: TextRange, words: str = "") -> Fix:
    """A fix that deletes a name from its list, with the keyword where it is the only name.

    The title shows `words`, if given, instead of the name.
    """
    title = f"Delete `{words or place.text}`"
    text = place.source.lines[place.line]
    before = text[: place.start].rstrip(" \t")
    word = before[max(map(before.rfind, (" ", "\t", ","))) + 1 :]
    head = before.removesuffix(word or ",").rstrip(" \t")
    after = _LINK.match(text, place.end)
    if word in ("", "or", "then", "and"):
        cut = place._replace(start=len(head))
    elif after is not None:
        cut = place._replace(end=after.end())
    else:
        return delete(place._replace(start=len(before) - len(word)), title)
    return Fix(title, (over(cut, ""),))


def beside(place: TextRange) -> Set[str]:
    """The other names of the list that a name stands in; of a very long one those near it."""
    line, low = place.source.lines[place.line], max(0, place.start - _NEAR)
    found = next(
        one for one in _LIST.finditer(line, low, place.end + _NEAR) if one.end() >= place.end
    )
    before, after = line[found.start() : place.start], line[place.end : found.end()]
    return {name for part in (before, after) for name in _LINK.split(part) if name}


def delete_line(place: TextRange, is_certain: bool = False) -> Fix:
    """A fix that deletes the line of a place, and with a chore its steps."""
    return Fix("Delete this line", (without_line(place),), is_certain)


def add_line(above: TextRange | None, source: Source, words: str) -> Fix:
    """A fix that adds a line below the line of a place, or at the top of a file."""
    if above is None:
        edit = TextEdit(source.path, 0, 0, 0, 0, words + source.newline)
    else:
        source, line, *_ = above
        end = len(source.lines[line])
        edit = TextEdit(source.path, line, end, line, end, source.newline + words)
    return Fix(f"Add a line `{words}`", (edit,))


def over(place: TextRange, words: str) -> TextEdit:
    """The edit that replaces a text with these words."""
    source, line, start, end = place
    return TextEdit(source.path, line, start, line, end, words)


def without_line(place: TextRange) -> TextEdit:
    """The edit that deletes the line of a place, and with a chore its steps."""
    after = _last_step(place.source, place.line) + 1
    return TextEdit(place.source.path, place.line, 0, after, 0, "")


def _last_step(source: Source, line: int) -> int:
    """The line of a chore's last step; its own line where it has none, or is no chore."""
    last, text = line, source.lines[line]
    if text[:1] not in (" ", "\t") or text.lstrip(" \t")[:1] in ("", "#", STEP):
        return line
    for number in range(line + 1, len(source.lines)):
        sign = source.lines[number].lstrip(" \t")[:1]
        if sign == STEP:
            last = number
        elif sign not in ("", "#"):
            break
    return last


def to_text(source: Source, text: str) -> tuple[TextEdit, ...]:
    """The edit that gives a file a new text, with only the lines that change; none for equal
    texts."""
    old, new = lines_of(source.text), lines_of(text)
    change = changed((old, new))
    if not change.size:
        return ()
    lines = "".join(new[change.first : change.new_end])
    return (TextEdit(source.path, change.first, 0, change.end, 0, lines),)


def lines_of(text: str) -> list[str]:
    """The lines of a text, each with its line end; no empty line after the last one."""
    lines = [line + "\n" for line in text.split("\n")]
    last = lines.pop().removesuffix("\n")
    return [*lines, last] if last else lines


def moved(fix: Fix, source: Source, line: int) -> Fix:
    """A fix that was made for a line alone, moved to a line of a file."""
    edits = (
        edit._replace(path=source.path, line=line, end_line=line + edit.end_line - edit.line)
        for edit in fix.edits
    )
    return fix._replace(edits=tuple(edits))


def edited(sources: Iterable[Source], edits: Sequence[TextEdit]) -> list[Source]:
    """The files that some edits change, with the edits applied.

    Edits must not overlap. One that reaches past the last line ends with the text.
    """
    return [
        _edited(source, own)
        for source in sources
        if (own := [edit for edit in edits if edit.path == source.path])
    ]


def resumed(sources: Iterable[Source], lines: Iterable[TextRange]) -> list[Source]:
    """The files that change, with the lines at some places no longer `paused`."""
    removals = (delete(word_place(place, "PAUSED")) for place in lines)
    return edited(sources, [edit for removal in removals for edit in removal.edits])


def _edited(source: Source, edits: list[TextEdit]) -> Source:
    text, parts, position = source.text, list[str](), 0
    starts = [0, *(line_end.end() for line_end in re.finditer("\n", text)), len(text)]
    for _, line, start, end_line, end, new in sorted(edits):
        parts += [text[position : starts[line] + start], new]
        position = starts[end_line] + end
    return replace(source, text="".join([*parts, text[position:]]))

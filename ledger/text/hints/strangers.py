"""What a line was meant to say that reads, but names what nobody has: `away tomorrow`."""

from __future__ import annotations

from ledger.text.finding import Fix, TextEdit
from ledger.text.hints.absences import absence
from ledger.text.hints.day_lists import day_list
from ledger.text.hints.facts import facts
from ledger.text.hints.limits import limit
from ledger.text.hints.misread import Line
from ledger.text.hints.reading import Edit, applied
from ledger.text.hints.vocabulary import SEASONS
from ledger.text.source import TextRange

HINTS = (absence, day_list, limit)


def meant(place: TextRange) -> tuple[str, list[Fix]] | None:
    """What to write in the line of an unknown name, in words and as fixes; None where the name was
    meant to be one."""
    line = Line(place.source, place.source.lines[place.line])
    hint = next((hint for find in HINTS if (hint := find(line)) is not None), None)
    if hint is None:
        return None
    shown = [applied(line.text, edit).strip(" \t") for edit in hint.edits]
    titles, edits = [f"`{text}`" for text in shown], list(hint.edits)
    if hint.lines:
        titles = [" and ".join(titles)]
        edits = [Edit(0, len(line.text), facts(line.source).newline.join(shown))]
    fixes = [
        Fix(f"Write {title}", (_edit(place, edit),), solves=not hint.is_example)
        for title, edit in zip(titles, edits, strict=True)
    ]
    fix = hint.fix.format(*(f"`{text}`" for text in shown))
    named = f", or name the days on a line `days {place.text} YYYY-MM-DD`"
    return fix + (named if place.text in SEASONS else ""), fixes


def _edit(place: TextRange, edit: Edit) -> TextEdit:
    return TextEdit(place.source.path, place.line, edit.begin, place.line, edit.end, edit.new)

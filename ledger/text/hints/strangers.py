"""What a line was meant to say that reads, but names what nobody has: `away tomorrow`."""

from __future__ import annotations

from ledger.text.finding import Fix
from ledger.text.hints.absences import absence
from ledger.text.hints.misread import Line
from ledger.text.source import TextRange

HINTS = (absence,)


def meant(place: TextRange) -> tuple[str, list[Fix]] | None:
    """What to write instead of a line with an unknown name at a place, in words and as fixes; None
    where the name is one."""
    line = Line(place.source, place.source.lines[place.line])
    for find in HINTS:
        hint = find(line)
        if hint is not None:
            ...
    return None

"""The table of cautions as a page, for `besom explain cautions` and for one thing of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ledger.household.cautions import ALL, HAZARDS, Hazard
from ledger.household.dangerous_pairs import DANGERS, Danger
from ledger.household.things import LAST_WORD
from ledger.render.as_markdown import to_markdown
from ledger.render.layout import PLAIN, Sheet, paragraph, wrap
from ledger.render.table import Table

WORDS = "Words behind `uses` that bring a caution"
STARS = "A word with a star is one of everyday use too, and counts only behind `uses`."
PAIRS = "Never on one day in one area"
NOT_COMPLETE = (
    "This list is not complete: what is not in it may hurt too. `(copy)` stands behind a source "
    "read in a full copy, `as reported` behind one known from a page that reports it, and `from "
    f"memory` behind what was not read. {LAST_WORD}"
)


def cautions_text(sheet: Sheet = PLAIN, thing: str | None = None) -> str:
    """Every word that brings a caution, with the caution and its source; then what must never meet;
    for people. Of one `thing`, if given, only what is known of it."""
    hazards, dangers = _known(thing)
    lines = []
    if hazards:
        lines += [WORDS, wrap(STARS, 0, sheet.width), ""]
        for hazard in hazards:
            lines += _entry(_starred(hazard), hazard.caution, hazard.source, sheet)
    if dangers:
        lines += [PAIRS, ""]
        for row in dangers:
            lines += _entry(" / ".join(_sides(row, thing)), row.gives, row.source, sheet)
    return "\n".join([*lines, wrap(NOT_COMPLETE, 0, sheet.width)]) + "\n"


def cautions_markdown(thing: str | None = None) -> str:
    """The same as a page of Markdown."""
    hazards, dangers = _known(thing)
    words = [(_starred(hazard), hazard.caution, hazard.source) for hazard in hazards]
    pairs = [(*_sides(row, thing), row.gives, row.source) for row in dangers]
    tables = [
        Table(WORDS, ("words", "caution", "source"), words),
        Table(PAIRS, ("one", "other", "what they do", "source"), pairs),
    ]
    return f"# Cautions\n\n{NOT_COMPLETE} {STARS}\n\n{to_markdown(tables)}"


def _sides(row: Danger, thing: str | None) -> tuple[str, str]:
    """The two kinds of things that must not meet; of one thing, only that and the other kind."""
    if thing is None:
        return _sorted(row.one), _sorted(row.other)
    return thing, _sorted((row.other if thing in row.one else row.one) - {thing})


def _known(thing: str | None) -> tuple[Sequence[Hazard], Sequence[Danger]]:
    """The hazards and the pairs of a thing; for None all."""
    if thing is None:
        return ALL, DANGERS
    hazards = [HAZARDS[thing]] if thing in HAZARDS else []
    return hazards, [row for row in DANGERS if thing in row.one | row.other]


def _entry(words: str, about: str, source: str, sheet: Sheet) -> list[str]:
    below = (" " * 6 + wrap(text, 6, sheet.width) for text in (about, f"[{source}]"))
    return [paragraph(words, "  ", sheet.width), *below, ""]


def _starred(hazard: Hazard) -> str:
    return ", ".join(f"{word}*" if word in hazard.everyday else word for word in hazard.words)


def _sorted(words: Iterable[str]) -> str:
    """Some words in the order of the table."""
    place = {word: n for n, word in enumerate(word for hazard in ALL for word in hazard.words)}
    return ", ".join(sorted(words, key=place.__getitem__))

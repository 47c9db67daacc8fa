"""The table of cautions as a page, for `besom explain cautions`."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.household.cautions import ALL, Hazard
from ledger.household.dangerous_pairs import DANGERS
from ledger.household.things import LAST_WORD
from ledger.render.as_markdown import to_markdown
from ledger.render.layout import wrap
from ledger.render.table import Table

WORDS = "Words behind `uses` that bring a caution"
STARS = "A word with a star is one of everyday use too, and counts only behind `uses`."
PAIRS = "Never on one day in one area"
NOT_COMPLETE = (
    "This list is not complete: what is not in it may hurt too. `(copy)` stands behind a source "
    "read in a full copy, `as reported` behind one known from a page that reports it, and `from "
    f"memory` behind what was not read. {LAST_WORD}"
)


def cautions_text() -> str:
    """Every word that brings a caution, with the caution and its source; then what must never meet;
    for people, in 80 columns."""
    lines = [WORDS, wrap(STARS, 0), ""]
    for hazard in ALL:
        lines += _entry(_starred(hazard), hazard.caution, hazard.source)
    lines += [PAIRS, ""]
    for row in DANGERS:
        lines += _entry(f"{_sorted(row.one)} / {_sorted(row.other)}", row.gives, row.source)
    return "\n".join([*lines, wrap(NOT_COMPLETE, 0)]) + "\n"


def cautions_markdown() -> str:
    """The same as a page of Markdown."""
    words = [(_starred(hazard), hazard.caution, hazard.source) for hazard in ALL]
    pairs = [(_sorted(row.one), _sorted(row.other), row.gives, row.source) for row in DANGERS]
    tables = [
        Table(WORDS, ("words", "caution", "source"), words),
        Table(PAIRS, ("one", "other", "what they do", "source"), pairs),
    ]
    return f"# Cautions\n\n{NOT_COMPLETE} {STARS}\n\n{to_markdown(tables)}"


def _entry(words: str, about: str, source: str) -> list[str]:
    return [f"  {wrap(words, 4)}", f"      {wrap(about, 6)}", f"      {wrap(f'[{source}]', 6)}", ""]


def _starred(hazard: Hazard) -> str:
    return ", ".join(f"{word}*" if word in hazard.everyday else word for word in hazard.words)


def _sorted(words: Iterable[str]) -> str:
    """Some words in the order of the table."""
    place = {word: n for n, word in enumerate(word for hazard in ALL for word in hazard.words)}
    return ", ".join(sorted(words, key=place.__getitem__))

"""The moves that make a book fit its days, as tables."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.render.table import Table
from ledger.report.lighten import Full, Lighten

MOVES = ("chore", "title", "minutes", "from", "to", "new section", "file", "line")
FULL = ("first", "last", "minutes", "limit", "times", "person")
FULLEST = ("fullest", "minutes now", "minutes then", "limit")


def lighten_tables(answer: Lighten) -> list[Table]:
    """The moves; what is too full before and after them; the fullest of each kind of day."""
    heaviest = ("heaviest day", answer.heaviest_before, answer.heaviest_after, None)
    return [
        Table("Moves", MOVES, answer.moves),
        _spans("Too full now", answer.too_full),
        _spans("Too full still", answer.left),
        Table("Minutes that must be done", FULLEST, [*answer.fullest, heaviest]),
    ]


def _spans(title: str, spans: Sequence[Full]) -> Table:
    return Table(title, FULL, spans)

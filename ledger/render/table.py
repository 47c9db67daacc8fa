"""A table: an answer in rows, for CSV and Markdown."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

Cell = str | int | float | bool | date | None


class Table(NamedTuple):
    """Rows under headers. Numbers stay numbers, so that each form can write them its way."""

    title: str
    headers: tuple[str, ...]
    rows: Sequence[tuple[Cell, ...]]
    repeated: int = 0
    """How many of the last columns repeat other tables of the answer. CSV has only one table and
    needs them; a page does not."""


def cell_text(cell: Cell) -> str:
    """A cell as text: dates as YYYY-MM-DD, yes and no, nothing for None."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.10g}"
    return cell.isoformat() if isinstance(cell, date) else str(cell)

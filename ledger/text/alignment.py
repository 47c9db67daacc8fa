"""Alignment: the cells of a line, and lines of cells in columns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ledger.text.clauses import CLAUSES, ChoreLine, NamedDays
from ledger.text.parts import Name
from ledger.text.tree import Declared, LimitLine, Node
from ledger.text.width import width
from ledger.text.words import duration
from ledger.text.writer import limit_head, quoted, write_clauses, write_spans

BETWEEN = "  "


class Cell(NamedTuple):
    """A cell; the numbers of durations are aligned right in their column."""

    text: str
    is_duration: bool = False


def cells(node: Node) -> list[Cell]:
    """The cells of a chore, or of a declaration that has columns; those of clauses that are not
    given are empty."""
    if isinstance(node, ChoreLine):
        words = write_clauses(node)
        columns = [
            Cell(words.pop(clause, ""), clause.kind == "duration")
            for clause in CLAUSES[ChoreLine]
            if clause.has_column
        ]
        # Few chores of a section share the other clauses: columns would be mostly gaps.
        return [Cell(node.name.value), *columns, Cell(BETWEEN.join(words.values()))]
    if isinstance(node, LimitLine):
        return [Cell(limit_head(node)), Cell(duration(node.minutes.value), True)]
    if isinstance(node, NamedDays):
        days = write_spans(node.spans) if node.spans else ""
        said = BETWEEN.join(filter(None, [days, *write_clauses(node).values()]))
        return [Cell(f"days {node.name.value}"), Cell(said)]
    assert isinstance(node, Declared)
    return [Cell(f"{node.keyword} {node.name.value}"), Cell(_title(node.title))]


def _title(title: Name | None) -> str:
    return quoted(title.value) if title else ""


def in_columns(rows: Sequence[Sequence[Cell]]) -> list[str]:
    """The rows as lines, cells two blanks apart in columns; empty columns are left out."""
    columns = [_column(column) for column in zip(*rows, strict=True)]
    used = [column for column in columns if any(cell.strip() for cell in column)]
    return [
        BETWEEN.join(column[index] for column in used).rstrip(" ") for index in range(len(rows))
    ]


def _column(column: Sequence[Cell]) -> list[str]:
    """The cells of one column, all of one width."""
    digits = max((len(cell.text.split(" ")[0]) for cell in column if cell.is_duration), default=0)
    texts = [
        " " * (digits - len(cell.text.split(" ")[0])) + cell.text
        if cell.is_duration and cell.text
        else cell.text
        for cell in column
    ]
    most = max(map(width, texts))
    return [text + " " * (most - width(text)) for text in texts]

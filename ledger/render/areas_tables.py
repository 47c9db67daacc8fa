"""The areas as a table, one row each."""

from __future__ import annotations

from ledger.render.table import Cell, Table
from ledger.report.areas import Area, Areas

HEADERS = (
    "area", "title", "last care", "days ago", "chore done", "by", "next chore", "state", "first",
    "last", "days late", "late chores", "chores", "minutes a month",
    "undone chore", "undone since", "was done", "periods undone",
)  # fmt: skip


def areas_tables(areas: Areas) -> list[Table]:
    """Each area with its last care, what is next in it, and its minutes a month."""
    rows = [_row(area) for area in areas.areas]
    return [Table(f"Areas on {areas.on}", HEADERS, rows)]


def _row(area: Area) -> tuple[Cell, ...]:
    care, ahead = area.care, area.next
    done = (care.day, care.days_ago, care.chore, ", ".join(care.people)) if care else (None,) * 4
    to_do = tuple(ahead) if ahead else (None,) * 5
    counts = (len(area.late), len(area.chores), round(area.minutes, 1))
    undone = (*area.undone[:3], round(area.undone.periods, 1)) if area.undone else (None,) * 4
    return (area.name, area.title, *done, *to_do, *counts, *undone)

"""A comparison of two versions of a book as text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.render.compare_words import (
    by,
    change_lines,
    changed,
    finding_lines,
    heaviest_line,
    record_lines,
)
from ledger.render.layout import PLAIN, Sheet, long_day, wrap
from ledger.render.rows import row_lines
from ledger.text.shown import safe
from ledger.text.words import duration
from ledger.versions.comparison import Comparison
from ledger.versions.effect import Row


def compare_text(answer: Comparison, sheet: Sheet = PLAIN) -> str:
    """What changed and what that does, for people."""
    across = sheet.width
    lines = [wrap(f"From {safe(answer.before)} to {safe(answer.after)}", 2, across)]
    if answer.is_empty:
        return "\n".join([*lines, "", "Nothing has changed."]) + "\n"
    lines += _part("The book", change_lines(answer.changes), across)
    lines += _part("The record", record_lines(answer.record), across)
    lines += _effect(answer, across)
    lines += _part("Lint finds, and did not before", finding_lines(answer.brought), across)
    lines += _part("Lint finds no more", finding_lines(answer.ended), across)
    return "\n".join(lines) + "\n"


def _part(heading: str, lines: Iterator[str], across: int) -> list[str]:
    items = [f"  {wrap(safe(line), 6, across)}" for line in lines]
    return ["", heading, *items] if items else []


def _effect(answer: Comparison, across: int) -> list[str]:
    effect = answer.effect
    week = effect.week._replace(name="the week together")
    people = [row._replace(name=f"{row.name}, a week") for row in effect.people]
    rows = changed([*effect.days, *effect.weekends, week, *people])
    heaviest = heaviest_line(effect.heaviest_before, effect.heaviest_after)
    lines = []
    if rows:
        head = wrap(f"Minutes, on average of the year from {long_day(answer.on)}", 2, across)
        lines += ["", head, *_table(rows, across)]
    if heaviest:
        lines += ["", wrap(heaviest, 2, across)]
    return lines


def _table(rows: Sequence[Row], across: int) -> list[str]:
    cells = [
        (safe(row.name), duration(row.before), f"-> {duration(row.after)}", by(row)) for row in rows
    ]
    return row_lines(cells, across, "  ", {1})

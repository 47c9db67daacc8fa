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
from ledger.render.layout import columns, long_day, wrap
from ledger.text.shown import safe
from ledger.text.words import duration
from ledger.versions.comparison import Comparison
from ledger.versions.effect import Row


def compare_text(answer: Comparison) -> str:
    """What changed and what that does, for people, in 80 columns."""
    lines = [wrap(f"From {safe(answer.before)} to {safe(answer.after)}", 2)]
    if answer.is_empty:
        return "\n".join([*lines, "", "Nothing has changed."]) + "\n"
    lines += _part("The book", change_lines(answer.changes))
    lines += _part("The record", record_lines(answer.record))
    lines += _effect(answer)
    lines += _part("Lint finds, and did not before", finding_lines(answer.brought))
    lines += _part("Lint finds no more", finding_lines(answer.ended))
    return "\n".join(lines) + "\n"


def _part(heading: str, lines: Iterator[str]) -> list[str]:
    items = [f"  {wrap(safe(line), 6)}" for line in lines]
    return ["", heading, *items] if items else []


def _effect(answer: Comparison) -> list[str]:
    effect = answer.effect
    week = effect.week._replace(name="the week together")
    people = [row._replace(name=f"{row.name}, a week") for row in effect.people]
    rows = changed([*effect.days, *effect.weekends, week, *people])
    heaviest = heaviest_line(effect.heaviest_before, effect.heaviest_after)
    lines = []
    if rows:
        lines += ["", f"Minutes, on average of the year from {long_day(answer.on)}", *_table(rows)]
    if heaviest:
        lines += ["", wrap(heaviest, 2)]
    return lines


def _table(rows: Sequence[Row]) -> list[str]:
    cells = [
        (safe(row.name), duration(row.before), "->", duration(row.after), by(row)) for row in rows
    ]
    return [f"  {line}" for line in columns(cells, frozenset({1, 3}))]

"""A comparison of two versions of a book as Markdown, to paste under a request to merge it."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.render.as_markdown import escaped, to_markdown
from ledger.render.compare_words import (
    by,
    change_lines,
    changed,
    finding_lines,
    heaviest_line,
    record_lines,
)
from ledger.render.table import Table
from ledger.text.words import duration
from ledger.versions.comparison import Comparison


def compare_markdown(answer: Comparison) -> str:
    """What changed as lists, and what that does as a table."""
    parts = [f"## From {escaped(answer.before)} to {escaped(answer.after)}\n"]
    if answer.is_empty:
        return "\n".join([*parts, "Nothing has changed.\n"])
    parts += _list("The book", change_lines(answer.changes))
    parts += _list("The record", record_lines(answer.record))
    effect = answer.effect
    rows = changed([*effect.days, *effect.weekends, effect.week, *effect.people])
    if rows:
        title = f"Minutes, on average of the year from {answer.on}"
        cells = [(row.name, duration(row.before), duration(row.after), by(row)) for row in rows]
        parts.append(to_markdown([Table(title, ("of", "before", "after", "change"), cells)]))
    heaviest = heaviest_line(effect.heaviest_before, effect.heaviest_after)
    parts += [f"{escaped(heaviest)}\n"] if heaviest else []
    parts += _list("Lint finds, and did not before", finding_lines(answer.brought))
    parts += _list("Lint finds no more", finding_lines(answer.ended))
    return "\n".join(parts)


def _list(heading: str, lines: Iterable[str]) -> list[str]:
    items = "".join(f"- {escaped(line)}\n" for line in lines)
    return [f"### {heading}\n\n{items}"] if items else []

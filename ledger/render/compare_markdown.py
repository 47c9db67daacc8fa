"""A comparison of two versions of a book as Markdown, to paste under a request to merge it."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.render.as_markdown import escaped, to_markdown
from ledger.render.compare_text import by, change_line, changed, record_lines
from ledger.render.layout import minutes
from ledger.render.table import Table
from ledger.versions.comparison import Comparison, Found


def compare_markdown(answer: Comparison) -> str:
    """What changed as lists, and what that does as a table."""
    parts = [f"## From {escaped(answer.before)} to {escaped(answer.after)}\n"]
    if answer.is_empty:
        return "\n".join([*parts, "Nothing has changed.\n"])
    parts += _list("The book", map(change_line, answer.changes))
    parts += _list("The record", record_lines(answer.record))
    effect = answer.effect
    rows = changed([*effect.days, *effect.weekends, effect.week, *effect.people])
    title = f"Minutes, on average of the year from {answer.on}"
    cells = [(row.name, minutes(row.before), minutes(row.after), by(row)) for row in rows]
    table = to_markdown([Table(title, ("of", "before", "after", "change"), cells)])
    parts += [table] if table else []
    parts += _list("Lint finds, and did not before", map(_finding, answer.brought))
    parts += _list("Lint finds no more", map(_finding, answer.ended))
    return "\n".join(parts)


def _list(heading: str, lines: Iterable[str]) -> list[str]:
    found = "".join(f"- {escaped(line)}\n" for line in lines)
    return [f"### {heading}\n\n{found}"] if found else []


def _finding(found: Found) -> str:
    return f"{found.file}:{found.line} {found.severity}: {found.message} ({found.rule})"

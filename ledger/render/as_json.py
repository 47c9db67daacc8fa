"""Answers as JSON, for programs: the fields of the data, dates as YYYY-MM-DD."""

from __future__ import annotations

from datetime import date

from ledger.render.json_text import json_text
from ledger.report.task import Task


def to_json(answer: object) -> str:
    """An answer as one JSON text; `grammar/` holds its schema."""
    return json_text(plain(answer))


def plain(value: object) -> object:
    """A value as JSON holds it: records by field, tuples as lists, dates as text."""
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        fields: tuple[str, ...] = getattr(value, "_fields", ())
        if not fields:
            return [plain(item) for item in value]
        document = {name: plain(getattr(value, name)) for name in fields}
        if isinstance(value, Task):
            document["total"] = value.total
        return document
    return value

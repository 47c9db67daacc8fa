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
        keys = keys_of(type(value))
        if keys:
            return {key: plain(getattr(value, key)) for key in keys}
        return [plain(item) for item in value]
    return value


def keys_of(kind: type) -> tuple[str, ...]:
    """The JSON keys of a record type, in order; empty for a tuple without field names."""
    fields: tuple[str, ...] = getattr(kind, "_fields", ())
    return (*fields, "total") if kind is Task else fields

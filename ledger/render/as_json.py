"""Answers as JSON, for programs: the fields of the data, dates as YYYY-MM-DD."""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum

from ledger.report.task import Task


def to_json(answer: object) -> str:
    """An answer as one JSON text; `grammar/` holds its schema."""
    return json.dumps(plain(answer), ensure_ascii=False, indent=2) + "\n"


def plain(value: object) -> object:
    """A value as JSON holds it: objects by field, tuples as lists, dates as text."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    if is_dataclass(value) and not isinstance(value, type):
        document = {field.name: plain(getattr(value, field.name)) for field in fields(value)}
        if isinstance(value, Task):
            document["total"] = value.total
        return document
    return value

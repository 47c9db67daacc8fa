"""The product's answers to the questions of `list_laws.py`, as plain data."""

from __future__ import annotations

from list_laws import Outcomes, RowKey, Span, Task


class Product:
    """The product's answers."""

    def rows(self, text: str, day: int) -> list[RowKey]:
        raise NotImplementedError

    def windows(self, text: str, row: RowKey, low: int, high: int) -> list[Span]:
        raise NotImplementedError

    def listed(self, text: str, day: int) -> list[Task]:
        raise NotImplementedError

    def outcomes(self, text: str, day: int) -> dict[RowKey, Outcomes]:
        raise NotImplementedError

"""The product's answers to the questions of `list_laws.py`, as plain data."""

from __future__ import annotations

from functools import lru_cache

from list_laws import Became, Outcomes, RowKey, Span, Task

from ledger.household.model import Household
from ledger.household.resolve import resolve
from ledger.keeping.history import Share, shares_of, timelines
from ledger.keeping.occasion import Occasion
from ledger.text.reader import Reader
from ledger.text.source import Source

FIRST = 1
"""From the first day on: all that the product knows of a chore."""


_READER = Reader()
"""It remembers lines that it has read: books differ by a line or two."""


@lru_cache(maxsize=64)
def household_of(text: str, day: int) -> Household:
    """The household of a book, asked on a day."""
    return _read(text).on(day)


@lru_cache(maxsize=64)
def _read(text: str) -> Household:
    return resolve([_READER.read(Source("home.chores", text))])[0]


class Product:
    """The product's answers."""

    def rows(self, text: str, day: int) -> list[RowKey]:
        household = household_of(text, day)
        return [
            (chore.name, timeline.person)
            for chore in household.chores.values()
            for timeline in timelines(household, chore)
        ]

    def windows(self, text: str, row: RowKey, low: int, high: int) -> list[Span]:
        household = household_of(text, low)
        for timeline in timelines(household, household.chores[row[0]]):
            if timeline.person == row[1]:
                found = timeline.between(low, high)
                return [Span(one.first, one.last, one.excused) for one in found if one.first >= low]
        raise KeyError(row)

    def listed(self, text: str, day: int) -> list[Task]:
        return [
            Task(one.chore, one.person, one.first, one.last, one.days_late, one.minutes)
            for share in _shares(text, day, day)
            if (one := share.shown) is not None
        ]

    def outcomes(self, text: str, day: int) -> dict[RowKey, Outcomes]:
        found = {}
        for share in _shares(text, day, FIRST):
            windows = [_became(one) for one in share.occasions if not one.is_excused]
            extras = tuple(line.line for line in share.extras)
            row = share.timeline.chore.name, share.timeline.person
            found[row] = Outcomes(tuple(windows), extras)
        return found


def _shares(text: str, day: int, low: int) -> list[Share]:
    household = household_of(text, day)
    return [
        share
        for chore in household.chores.values()
        for share in shares_of(household, chore, low, day)
    ]


def _became(one: Occasion) -> Became:
    kind = one.fate.value if one.fate is not None else "spare"
    line = None if one.mark is None else one.mark.line
    return Became(one.first, one.last, one.opened, kind, line)

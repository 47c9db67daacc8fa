"""Days away: of the whole household, and of one person."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.household.away import Span as Span
from ledger.household.away import span_at
from ledger.household.model import Household


def away_spans(household: Household, person: str | None = None) -> Sequence[Span]:
    """The days away of the household, and of a person if given, as ordered separate spans."""
    return household.away(person).spans


def at_home(first: int, last: int, away: Sequence[Span]) -> Span | None:
    """A span without the days away at its two ends, or None if no day is left."""
    start, end = span_at(first, away), span_at(last, away)
    if start is not None:
        first = start[1] + 1
    if end is not None:
        last = end[0] - 1
    return (first, last) if first <= last else None


def is_away(day: int, away: Sequence[Span]) -> bool:
    """True for a day in one of the spans."""
    return span_at(day, away) is not None


def days_away(household: Household, first: int, last: int) -> int:
    """On how many days from `first` to `last` the household is away."""
    return household.away().count(first, last)


def away_title(household: Household, day: int, person: str | None = None) -> str | None:
    """Why the household, or a person if given, is away on a day: "" if the book does not say,
    None at home."""
    return household.away(person).title(day)

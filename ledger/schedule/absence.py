"""Days away: of the whole household, and of one person."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from operator import itemgetter

from ledger.household.model import Household

Span = tuple[int, int]


_first_of = itemgetter(0)


def away_spans(household: Household, person: str | None = None) -> list[Span]:
    """The days away, as spans in order and apart: the household's, and a person's own too."""
    spans = sorted(
        (absence.first, absence.last)
        for absence in household.absences
        if not absence.people or person in absence.people
    )
    merged: list[Span] = []
    for first, last in spans:
        if merged and first <= merged[-1][1] + 1:
            merged[-1] = merged[-1][0], max(last, merged[-1][1])
        else:
            merged.append((first, last))
    return merged


def at_home(first: int, last: int, away: Sequence[Span]) -> Span | None:
    """A span without the days away at its two ends, or None where no day is left."""
    # Spans of days away lie in order and apart, so only the one at each end can reach it.
    start = bisect_right(away, first, key=_first_of) - 1
    if start >= 0 and away[start][1] >= first:
        first = away[start][1] + 1
    end = bisect_right(away, last, key=_first_of) - 1
    if end >= 0 and away[end][1] >= last:
        last = away[end][0] - 1
    return (first, last) if first <= last else None


def is_away(day: int, away: Sequence[Span]) -> bool:
    """True for a day in one of the spans."""
    return any(first <= day <= last for first, last in away)


def away_title(household: Household, day: int, person: str | None = None) -> str | None:
    """Why the whole household, or a person too, is away on a day; "" where the book does not
    say, None at home."""
    for absence in household.absences:
        away = absence.first <= day <= absence.last
        if away and (not absence.people or person in absence.people):
            return absence.title
    return None

"""Undone: a chore that was not done for more than three of its periods, as an answer tells it."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from ledger.calendar.windows import Timeline
from ledger.keeping.neglect import neglect
from ledger.text.fields import Amount, ChoreName


class Undone(NamedTuple):
    """A chore that was not done for more than three of its periods. Windows that were skipped or
    missed do not count as done."""

    chore: ChoreName
    since: date
    """The day on which it was last done; where it never was, the first on which it was asked."""
    was_done: bool
    """False where the record never says that it was done."""
    periods: Amount
    """How many of its periods have gone by since. Days on which it was not asked do not count."""


def undone_by(timeline: Timeline, on: int) -> Undone | None:
    """What is to be told of a chore, or of one person's share of it, on a day; None for one that
    was done within three periods."""
    found = neglect(timeline, on)
    if found is None:
        return None
    since = date.fromordinal(found.since)
    return Undone(timeline.chore.name, since, found.was_done, found.periods)


def most_undone(some: list[Undone]) -> Undone | None:
    """Of several the one that was not done for most of its periods."""
    return max(some, key=lambda one: one.periods, default=None)

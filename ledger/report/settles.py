"""Settles: which windows a new record line counts for, where it is outside their days."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from ledger.household.model import Household
from ledger.keeping.occasion import OutcomeKind
from ledger.keeping.past import pasts_of
from ledger.text.tree import RecordEntry


class Settles(NamedTuple):
    """A chore of a line, done outside the days of its window."""

    chore: str
    first: date | None
    last: date | None
    """The days of the window that the line counts for; None where it found none."""
    days_late: int
    """Days past the window; below 0 for days before it."""


def settles(household: Household, day: int, entry: RecordEntry) -> list[Settles]:
    """What a line will count for once the record has it, each answer once. Chores done in their
    days are left out."""
    log, line = household.log.with_line(day, entry)
    with_line = replace(household, log=log)
    return list(dict.fromkeys(_settles(with_line, line, day, entry)))


def _settles(household: Household, line: int, day: int, entry: RecordEntry) -> Iterator[Settles]:
    for name in dict.fromkeys(item.name.value for item in entry.items):
        for history in pasts_of(household, household.chores[name], day, day, day):
            for one in history.outcomes:
                if one.mark is not None and one.mark.line == line:
                    late = {
                        OutcomeKind.LATE: day - one.last,
                        OutcomeKind.EARLY: day - one.first,
                    }.get(one.fate or OutcomeKind.DONE)
                    if late is not None:
                        span = date.fromordinal(one.first), date.fromordinal(one.last)
                        yield Settles(name, *span, late)
            if any(extra.line == line for extra in history.extras):
                yield Settles(name, None, None, 0)

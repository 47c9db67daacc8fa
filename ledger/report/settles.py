"""Settles: what a new record line counts for, where that is more than its day and its minutes."""

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
    """A chore of a line, done outside the days of its window or worked on before."""

    chore: str
    first: date | None
    last: date | None
    """The days of the window that the line counts for; None where it found none."""
    days_late: int
    """Days past the window; below 0 for days before it, 0 in its days."""
    before: int = 0
    """Minutes worked on it before, where the line is timed."""
    in_all: int = 0
    """These, and the minutes of the line."""


def settles(household: Household, day: int, entry: RecordEntry) -> list[Settles]:
    """What a line will count for once the record has it, each answer once. Chores done in their
    days are left out, unless timed after they were worked on."""
    log, line = household.log.with_line(day, entry)
    with_line = replace(household, log=log)
    return list(dict.fromkeys(_settles(with_line, line, day, entry)))


def _settles(household: Household, line: int, day: int, entry: RecordEntry) -> Iterator[Settles]:
    for name in dict.fromkeys(item.name.value for item in entry.items):
        timed = household.log.minutes(line, name)
        for history in pasts_of(household, household.chores[name], day, day, day):
            for one in history.outcomes:
                if one.mark is not None and one.mark.line == line:
                    late = {
                        OutcomeKind.LATE: day - one.last,
                        OutcomeKind.EARLY: day - one.first,
                    }.get(one.fate or OutcomeKind.DONE, 0)
                    before = one.worked if timed else 0
                    if late or before:
                        span = date.fromordinal(one.first), date.fromordinal(one.last)
                        in_all = before + timed[0] if before else 0
                        yield Settles(name, *span, late, before, in_all)
            if any(extra.line == line for extra in history.extras):
                yield Settles(name, None, None, 0)

"""In force: which lines of a chore count on a day."""

from __future__ import annotations

from ledger.calendar.day_lists import dates_of
from ledger.household.model import Household, Routine


def lines_in_force(household: Household, name: str, on: int) -> list[Routine]:
    """The lines of a chore that count on a day, whatever lists of days they are kept to.

    A `once` line counts up to its last day, also before its first.
    """
    return [
        line
        for line in household.chores[name].routines
        if not line.paused and _counts(household, line, on)
    ]


def _counts(household: Household, line: Routine, on: int) -> bool:
    first, last = dates_of(household, line)
    cadence = line.section.cadence
    return first <= on <= last and (not cadence.is_once or on <= cadence.last)

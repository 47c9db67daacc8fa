"""In force: which lines of a chore count on a day."""

from __future__ import annotations

from ledger.calendar.windows import Timeline
from ledger.household.model import Household, Routine


def lines_in_force(household: Household, name: str, on: int) -> list[Routine]:
    """The lines of a chore that count on a day.

    An `after done` line counts alone until a later line begins. A `once` line counts up to its
    last day, also before its first.
    """
    chore = household.chores[name]
    timeline = Timeline(household, chore)
    alone = timeline.after_done(on)
    return [line for line in chore.routines if _counts(timeline, line, alone, on)]


def _counts(timeline: Timeline, line: Routine, alone: Routine | None, on: int) -> bool:
    first, last = timeline.in_force(line)
    cadence = line.section.cadence
    if line.paused or not first <= on <= last:
        return False
    if alone is not None or cadence.is_after_done:
        return line is alone
    return not cadence.is_once or on <= cadence.last

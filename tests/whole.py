"""Everything at once, the plain way: all windows of a chore matched, all chores of a day."""

from __future__ import annotations

from ledger.keeping.matching import MatchedWindow, RecordReference, marks_of, match, occasions
from ledger.keeping.status import Standing, standing, timelines

from ledger.calendar.windows import Timeline
from ledger.household.model import Household
from ledger.household.record import Log


def history(
    timeline: Timeline, log: Log, day: int
) -> tuple[list[MatchedWindow], list[RecordReference]]:
    """Every calendar window of a chore opened by a day, matched from the first line on.

    The two windows after `day` are matched along and given too: a line may be early for the
    first of them, and the second says how far that one can be moved.
    """
    marks = marks_of(log, timeline.chore.name, timeline.person, high=day)
    return match([*timeline.between(0, day), *timeline.coming(day, 2)], marks)


def current(timeline: Timeline, log: Log, day: int) -> MatchedWindow | None:
    """The latest calendar occasion that has opened by a day, as the record has it by then."""
    opened = [one for one in occasions(timeline, log, day, day, day) if one.first <= day]
    return opened[-1] if opened else None


def standings(household: Household, day: int) -> list[Standing]:
    """Where every chore stands on a day, in the order of the book.

    A chore of which no window has opened by then is not among them.
    """
    found = (
        standing(timeline, day)
        for chore in household.chores.values()
        for timeline in timelines(household, chore)
    )
    return [one for one in found if one is not None]

"""Coming: the windows of one chore that are yet to open, and not settled already."""

from __future__ import annotations

from typing import NamedTuple

from ledger.calendar.windows import Timeline
from ledger.household.model import Routine
from ledger.keeping.matching import occasions
from ledger.keeping.status import after_done_now


class Coming(NamedTuple):
    """A window yet to open, as the record leaves it."""

    routine: Routine
    first: int
    last: int
    """The days it is to be done on, after any move, as ordinals."""
    opened: int
    """The first day before any move, by which turns are counted."""


def coming(timeline: Timeline, day: int, count: int) -> list[Coming]:
    """The next windows that open after a day, at most `count`, by a record known up to that day.

    Windows settled ahead of their days are passed over, and so are excused ones. Of a chore
    that comes round so many days after it was done only the window as it lies now is known.
    """
    found = occasions(timeline, timeline.household.log, day, day, day)
    ahead = [
        Coming(one.window.routine, one.first, one.last, one.window.first)
        for one in found
        if one.first > day and one.mark is None
    ]
    # No line of the record reaches beyond the windows that were matched.
    reached = max((one.window.first for one in found), default=day)
    ahead += (
        Coming(window.routine, window.first, window.last, window.first)
        for window in timeline.coming(max(reached, day), max(count - len(ahead), 0))
    )
    ahead = [one for one in ahead if timeline.after_done(one.opened) is None]
    ahead += _after_done(timeline, day)
    return sorted(ahead, key=lambda one: one.first)[:count]


def _after_done(timeline: Timeline, day: int) -> list[Coming]:
    """The windows of `after done` lines that lie ahead, of the line that holds and of others."""
    now = timeline.after_done(day)
    found = []
    for routine in timeline.chore.routines:
        begins = timeline.in_force(routine)[0]
        if not routine.section.is_after_done or routine.paused:
            continue
        if routine is not now and begins <= day:
            continue
        span, _ = after_done_now(timeline, routine, day)
        if span is not None and span[0] > day and timeline.after_done(span[0]) is routine:
            found.append(Coming(routine, *span, span[0]))
    return found

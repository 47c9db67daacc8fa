"""Coming: the windows of one chore that open later and are not settled yet."""

from __future__ import annotations

from typing import NamedTuple

from ledger.calendar.windows import Timeline
from ledger.household.model import Routine
from ledger.keeping.matching import occasions
from ledger.keeping.status import after_done_now


class Coming(NamedTuple):
    """A window that opens later, after any move in the record."""

    routine: Routine
    first: int
    last: int
    """The days it is to be done on, after any move, as ordinals."""
    opened: int
    """Its first day before any move; turns are counted by it."""


def coming(timeline: Timeline, day: int, count: int) -> list[Coming]:
    """The next windows that open after a day, at most `count`, by a record known up to that day.

    Windows settled before their days and excused ones are left out. Only one window of an `after
    done` line is known: the next by the record so far.
    """
    matched = occasions(timeline, timeline.household.log, day, day, day)
    ahead = [
        Coming(one.window.routine, one.first, one.last, one.window.first)
        for one in matched
        if one.first > day and one.mark is None
    ]
    # Lines of the record change no windows after the matched ones.
    last_matched = max((one.window.first for one in matched), default=day)
    ahead += (
        Coming(window.routine, window.first, window.last, window.first)
        for window in timeline.coming(max(last_matched, day), max(count - len(ahead), 0))
    )
    ahead = [one for one in ahead if timeline.after_done(one.opened) is None]
    ahead += _after_done(timeline, day)
    return sorted(ahead, key=lambda one: one.first)[:count]


def _after_done(timeline: Timeline, day: int) -> list[Coming]:
    """The coming windows of `after done` lines: of the line that holds and of later ones."""
    now = timeline.after_done(day)
    ahead = []
    for routine in timeline.chore.routines:
        begins = timeline.in_force(routine)[0]
        if not routine.section.is_after_done or routine.paused:
            continue
        if routine is not now and begins <= day:
            continue
        span, _ = after_done_now(timeline, routine, day)
        if span is not None and span[0] > day and timeline.after_done(span[0]) is routine:
            ahead.append(Coming(routine, *span, span[0]))
    return ahead

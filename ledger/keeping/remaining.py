"""Remaining: the windows still to be done from a day on, as the calendar and the record tell."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ledger.calendar.windows import Timeline
from ledger.household.model import Household, Routine
from ledger.keeping.matching import MatchedWindow, occasions
from ledger.keeping.status import after_done_now, after_done_span, latest_opened, timelines


class Remaining(NamedTuple):
    """A window still to be done."""

    chore: str
    routine: Routine
    person: str | None
    """Whose own share it is, for a chore that each does."""
    first: int
    last: int
    """The days it is to be done on, after any move, as ordinals."""
    opened: int
    """The first day before any move, by which turns are counted."""
    minutes: int
    """As declared; 0 where the book says none."""
    expected: bool
    """True where it counts from a window that is not done yet, taken as done on its first day."""
    late: bool
    """True where it closed before the first day asked for, and is still owed."""


def remaining_windows(household: Household, low: int, high: int) -> list[Remaining]:
    """The windows that close from day `low` to `high`, and what is overdue on `low`, in the
    order of the book and then of their days; by a record known up to `low`.

    Windows settled ahead of their days are left out, and so are excused and missed ones. Of a
    chore that comes round so many days after it was done, each window is taken as done on its
    first day, and what is overdue on `low`.
    """
    return [
        window
        for chore in household.chores.values()
        for timeline in timelines(household, chore)
        for window in remaining_of(timeline, low, high)
        if window.last <= high
    ]


def remaining_of(timeline: Timeline, low: int, high: int) -> Iterator[Remaining]:
    """The windows of one chore, or of one person's share of it, still to be done that have a
    day from `low` to `high`, and what is overdue on `low`; else as `remaining_windows`."""
    yield from _calendar(timeline, low, high)
    yield from _after_done(timeline, low, high)


def _remaining(
    timeline: Timeline,
    routine: Routine,
    span: tuple[int, int],
    opened: int,
    *,
    expected: bool = False,
    late: bool = False,
) -> Remaining:
    minutes, name = routine.minutes or 0, timeline.chore.name
    return Remaining(name, routine, timeline.person, *span, opened, minutes, expected, late)


def _calendar(timeline: Timeline, low: int, high: int) -> Iterator[Remaining]:
    """Windows of the calendar, but for days on which an `after done` line holds."""
    counted = any(r.section.is_after_done for r in timeline.chore.routines)
    for routine, opened, span, late in _on_calendar(timeline, low, high):
        if not counted or timeline.after_done(max(opened, low)) is None:
            yield _remaining(timeline, routine, span, opened, late=late)


def _on_calendar(
    timeline: Timeline, low: int, high: int
) -> Iterator[tuple[Routine, int, tuple[int, int], bool]]:
    """Line, first day before any move, days to be done on, and whether it is late."""
    found = occasions(timeline, timeline.household.log, low, low, low)
    owed = _owed(timeline, found, low)
    for one in found:
        if one.mark is None and (one is owed or (one.first <= high and low <= one.last)):
            span = (one.first, one.last)
            yield one.window.routine, one.window.first, span, one is owed
    # No line of the record reaches beyond the windows that were matched.
    reached = max((one.window.first for one in found), default=low)
    for window in timeline.at_home(max(reached, low), high):
        if window.first > max(reached, low):
            yield window.routine, window.first, window[:2], False


def _owed(timeline: Timeline, found: list[MatchedWindow], low: int) -> MatchedWindow | None:
    """The occasion that is overdue on a day."""
    latest = latest_opened(timeline, found, low)
    return latest if latest is not None and latest.mark is None and latest.last < low else None


def _after_done(timeline: Timeline, low: int, high: int) -> Iterator[Remaining]:
    """Windows of `after done` lines, of the one that holds on `low` and of those that begin
    later."""
    now = timeline.after_done(low)
    for routine in timeline.chore.routines:
        later = timeline.in_force(routine)[0] > low
        if not routine.section.is_after_done or routine.paused:
            continue
        if routine is now or later:
            yield from _one_after_another(timeline, routine, low, high)


def _one_after_another(
    timeline: Timeline, routine: Routine, low: int, high: int
) -> Iterator[Remaining]:
    span, _ = after_done_now(timeline, routine, low)
    expected = False
    while span is not None and span[0] <= high:
        first, last = span
        done = max(first, low)
        if timeline.after_done(done) is not routine:
            return
        yield _remaining(timeline, routine, span, first, expected=expected, late=last < low)
        span, expected = after_done_span(timeline, routine, done), True

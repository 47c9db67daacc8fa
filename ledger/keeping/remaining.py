"""Remaining: the windows still to be done from a day on, by the calendar and the record."""

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
    """Whose share it is, where each does their own."""
    first: int
    last: int
    """The days it is to be done on, after any move, as ordinals."""
    opened: int
    """Its first day before any move; turns are counted by it."""
    minutes: int
    """As declared; 0 where the book says none."""
    expected: bool
    """True if the window before it is not done yet, and is taken as done on its first day."""
    late: bool
    """True if it closed before the first day asked for, and is still owed."""


def remaining_windows(household: Household, low: int, high: int) -> list[Remaining]:
    """The windows that close from day `low` to `high`, and what is overdue on `low`, in the
    order of the book and then of their days; by a record known up to `low`.

    Windows settled before their days are left out, and so are excused and missed ones. Each
    window of an `after done` line is taken as done on its first day, or on `low` if overdue.
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
    """Windows of calendar lines, except on days on which an `after done` line holds."""
    has_after_done = any(r.section.is_after_done for r in timeline.chore.routines)
    for routine, opened, span, late in _on_calendar(timeline, low, high):
        if not has_after_done or timeline.after_done(max(opened, low)) is None:
            yield _remaining(timeline, routine, span, opened, late=late)


def _on_calendar(
    timeline: Timeline, low: int, high: int
) -> Iterator[tuple[Routine, int, tuple[int, int], bool]]:
    """Of each window its line, first day before any move, days, and whether it is late."""
    matched = occasions(timeline, timeline.household.log, low, low, low)
    overdue = _overdue(timeline, matched, low)
    for one in matched:
        if one.mark is None and (one is overdue or (one.first <= high and low <= one.last)):
            span = (one.first, one.last)
            yield one.window.routine, one.window.first, span, one is overdue
    # Lines of the record change no windows after the matched ones.
    last_matched = max((one.window.first for one in matched), default=low)
    for window in timeline.at_home(max(last_matched, low), high):
        if window.first > max(last_matched, low):
            yield window.routine, window.first, window[:2], False


def _overdue(timeline: Timeline, matched: list[MatchedWindow], low: int) -> MatchedWindow | None:
    """The window that is overdue on a day, or None."""
    latest = latest_opened(timeline, matched, low)
    return latest if latest is not None and latest.mark is None and latest.last < low else None


def _after_done(timeline: Timeline, low: int, high: int) -> Iterator[Remaining]:
    """Windows of the `after done` line that holds on `low`, and of those that begin later."""
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

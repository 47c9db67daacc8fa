"""Status: where a chore stands on a day, by the record up to then."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

from ledger.calendar.absence import Span, at_home, away_spans
from ledger.calendar.occurrences import period_days
from ledger.calendar.week import MAX_DAY, in_season, month_index, month_last
from ledger.calendar.windows import Timeline
from ledger.household.away import span_at
from ledger.household.model import Chore, Household, Routine
from ledger.keeping.matching import MatchedWindow, RecordReference, latest_marks, occasions

State = Literal["done", "skipped", "due", "overdue"]
"""The state of the latest window that has opened. `due`: not done, and the day is inside it.
`overdue`: not done, and it is past; the next has not opened."""


class Standing(NamedTuple):
    """A chore on a day: its latest window that has opened, and what became of it."""

    chore: Chore
    routine: Routine
    person: str | None
    """Whose share it is, where each does their own."""
    state: State
    first: int
    last: int
    """The days of the window, as ordinals."""
    days_late: int
    """Days past the window's last day, 0 if it is not overdue."""
    lateness: float
    """Days late divided by the chore's period, so that kinds of chores compare."""
    mark: RecordReference | None
    """The `did` or `skipped` that settled it."""
    opened: int
    """Its first day before any move; turns are counted by it."""


def lateness(timeline: Timeline, routine: Routine, days_late: int) -> float:
    """Days late divided by the period of a line, so that kinds of chores compare."""
    return days_late / period_days(routine.section.cadence, len(timeline.household.weekend))


def timelines(household: Household, chore: Chore) -> Iterator[Timeline]:
    """A chore's timelines: one, or one for each person where each does their own."""
    people = next(
        (r.assignment.people for r in chore.routines if r.assignment.form == "each"), None
    )
    for person in people if people else (None,):
        yield Timeline(household, chore, person)


def standing(timeline: Timeline, day: int) -> Standing | None:
    """Where one chore, or one person's share of it, stands on a day."""
    return standing_and_early(timeline, day)[0]


def standing_and_early(timeline: Timeline, day: int) -> tuple[Standing | None, list[Standing]]:
    """Where a chore stands on a day, and later windows that were settled on that day."""
    routine = timeline.after_done(day)
    if routine is not None:
        return _after_done(timeline, routine, day), []
    matched = occasions(timeline, timeline.household.log, day, day, day)
    ahead = [
        _of_occasion(timeline, one, day)
        for one in matched
        if one.first > day and one.mark is not None and one.mark.day == day
    ]
    latest = latest_opened(timeline, matched, day)
    return _of_occasion(timeline, latest, day) if latest is not None else None, ahead


def latest_opened(
    timeline: Timeline, matched: Sequence[MatchedWindow], day: int
) -> MatchedWindow | None:
    """The latest calendar window that has opened by a day, of those around it: only this one can
    still be owed. None before the first, and if an excused window has opened since."""
    opened = [one for one in matched if one.first <= day]
    if not opened:
        return None
    latest, window = opened[-1], timeline.last_opened(day)
    # One that was moved to a day to come has not opened: what counts is the one before it.
    while window is not None and not window.excused and window.first > latest.window.first:
        window = timeline.last_opened(window.first - 1)
    if window is not None and window.excused and latest.first <= window.first:
        return None
    return latest


def _of_occasion(timeline: Timeline, occasion: MatchedWindow, day: int) -> Standing:
    window = occasion.window
    span = (occasion.first, occasion.last)
    return _standing(timeline, window.routine, span, occasion.mark, day, window.first)


def _standing(
    timeline: Timeline,
    routine: Routine,
    span: Span,
    mark: RecordReference | None,
    day: int,
    opened: int | None = None,
) -> Standing:
    first, last = span
    state: State = "due" if day <= last else "overdue"
    if mark is not None:
        state = "done" if mark.verb == "did" else "skipped"
    late = day - last if state == "overdue" else 0
    return Standing(
        timeline.chore,
        routine,
        timeline.person,
        state,
        first,
        last,
        late,
        lateness(timeline, routine, late),
        mark,
        first if opened is None else opened,
    )


def _after_done(timeline: Timeline, routine: Routine, day: int) -> Standing | None:
    """The standing of a chore by its `after done` line."""
    span, settled = after_done_now(timeline, routine, day)
    if span is not None and span[0] <= day:
        return _standing(timeline, routine, span, None, day)
    if settled is None:
        return None
    return _standing(timeline, routine, (settled.day, settled.day), settled, day)


def after_done_now(
    timeline: Timeline, routine: Routine, day: int
) -> tuple[Span | None, RecordReference | None]:
    """The window of an `after done` line, by the record up to a day, and the line of the record
    that settled the window before it."""
    log, moved = timeline.household.log, None
    for mark in latest_marks(log, timeline.chore.name, timeline.person, day):
        if mark.to is None:
            settled: RecordReference | None = mark
            break
        # Only the last move since then counts.
        moved = mark.to if moved is None else moved
    else:
        settled = None
    if moved is not None:
        return (moved, moved), settled
    return after_done_span(timeline, routine, settled.day if settled else None), settled


def after_done_span(timeline: Timeline, routine: Routine, settled: int | None) -> Span | None:
    """The window that follows a `did` or `skipped`, or the first one if there was none.

    It waits for its season and for days at home; None after the line's last day.
    """
    first, end = timeline.in_force(routine)
    if settled is not None:
        first = max(first, settled + routine.section.cadence.every)
    away, season = away_spans(timeline.household, timeline.person), routine.section.during
    while first <= end:
        away_span = span_at(first, away)
        if away_span is not None:
            first = away_span[1] + 1
        elif not in_season(first, season):
            first = month_last(month_index(first)) + 1
        else:
            break
    if first > min(end, MAX_DAY):
        return None
    return at_home(first, min(first + (routine.section.within or 1) - 1, end), away)

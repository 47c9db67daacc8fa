"""The past: what became of each window, counted once, on one day.

A window counts on the day it was settled, an unsettled one on its last day. So if a stretch of
days is split into spans, each window counts in just one of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from enum import Enum
from functools import partial
from itertools import pairwise
from operator import attrgetter
from typing import NamedTuple

from ledger.calendar.absence import Span
from ledger.calendar.windows import Timeline
from ledger.household.model import Routine
from ledger.keeping.matching import MatchedWindow, RecordReference, marks_of, matched_around
from ledger.keeping.status import after_done_now, after_done_span, latest_opened


class OutcomeKind(Enum):
    """What became of a window, as the record has it by a day."""

    DONE = "done"
    """In its days."""
    LATE = "late"
    """Done after its days."""
    EARLY = "early"
    """Done before its days."""
    SKIPPED = "skipped"
    """Excused by the record."""
    MISSED = "missed"
    """Not done, and no longer owed: another window has opened, or another line holds."""
    OWED = "owed"
    """Not done in its days, and still to be done."""
    OPEN = "open"
    """Not done yet, on the last of its days."""


KEPT = frozenset({OutcomeKind.DONE, OutcomeKind.LATE, OutcomeKind.EARLY})
"""Outcomes of windows whose chore was done."""
UNCOUNTED = frozenset({OutcomeKind.SKIPPED, OutcomeKind.OPEN})
"""Outcomes that say nothing of how well a routine is kept."""


class Outcome(NamedTuple):
    """A window with what became of it."""

    routine: Routine
    first: int
    last: int
    """The days it was to be done on, after any move."""
    opened: int
    """Its first day before any move; turns are counted by it."""
    fate: OutcomeKind
    mark: RecordReference | None
    """The line of the record that settled it."""

    @property
    def counted(self) -> int:
        """The day on which it counts."""
        return self.mark.day if self.mark else self.last


class Past(NamedTuple):
    """What became of a chore in a span of days."""

    outcomes: tuple[Outcome, ...]
    """In order of the day on which they count."""
    extras: tuple[RecordReference, ...]
    """Lines that took no window."""


def past(timeline: Timeline, low: int, high: int, on: int) -> Past:
    """What became of a chore's windows that count from day `low` to `high`, no later than
    `on`, by a record known up to `on`.

    Excused windows are left out, and so are those with days after `on`, unless settled. Where
    `after done` lines alternate with others, each has the windows that count while it holds, and
    the lines of the record of those days.
    """
    high = min(high, on)
    outcomes: list[Outcome] = []
    extras: list[RecordReference] = []
    for begin, end, routine in _stretches(timeline, low, on):
        if begin > high:
            break
        outcomes_in = _calendar if routine is None else partial(_after_done, routine=routine)
        more, more_extras = outcomes_in(timeline, begin, min(end, high), end, on)
        outcomes += more
        extras += more_extras
    return Past(tuple(outcomes), tuple(extras))


def _stretches(timeline: Timeline, low: int, on: int) -> Iterator[tuple[int, int, Routine | None]]:
    """The days from `low` to `on` in stretches, each with the `after done` line that holds in it,
    or None where calendar lines hold."""
    routines = [routine for routine in timeline.chore.routines if not routine.paused]
    if all(not routine.section.is_after_done for routine in routines):
        yield low, on, None
        return
    firsts = {timeline.in_force(routine)[0] for routine in routines}
    begins = sorted({low, *(first for first in firsts if low < first <= on)})
    holding = [(begin, timeline.after_done(begin)) for begin in begins]
    changes = holding[:1]
    changes += [later for former, later in pairwise(holding) if later[1] is not former[1]]
    ends = [*(begin - 1 for begin, _ in changes[1:]), on]
    for (begin, routine), end in zip(changes, ends, strict=True):
        yield begin, end, routine


def _calendar(
    timeline: Timeline, low: int, high: int, end: int, on: int
) -> tuple[list[Outcome], list[RecordReference]]:
    """The windows of calendar lines that count from `low` to `high`, and the extra lines, by the
    record up to `end`, the last day on which calendar lines hold."""
    matched, extras = matched_around(timeline, timeline.household.log, low, high, end)
    owed = _owed(timeline, matched, on) if end == on else None
    outcomes = [
        Outcome(
            occasion.window.routine,
            occasion.first,
            occasion.last,
            occasion.window.first,
            _fate(occasion.mark, (occasion.first, occasion.last), on, occasion is owed),
            occasion.mark,
        )
        for occasion in matched
    ]
    outcomes = [one for one in outcomes if low <= one.counted <= high]
    outcomes.sort(key=_counted_on)
    return outcomes, [mark for mark in extras if low <= mark.day <= high]


def _owed(timeline: Timeline, matched: Sequence[MatchedWindow], on: int) -> MatchedWindow | None:
    """The window that is still to be done, or None."""
    latest = latest_opened(timeline, matched, on)
    return latest if latest is not None and latest.mark is None else None


def _after_done(
    timeline: Timeline, low: int, high: int, end: int, on: int, *, routine: Routine
) -> tuple[list[Outcome], list[RecordReference]]:
    """As `_calendar`, for an `after done` line."""
    outcomes: list[Outcome] = []
    extras: list[RecordReference] = []
    log, name = timeline.household.log, timeline.chore.name
    span, _ = after_done_now(timeline, routine, low - 1)
    for mark in marks_of(log, name, timeline.person, low, end):
        if mark.to is not None:
            span = mark.to, mark.to
        elif span is None:
            extras.append(mark)
        else:
            fate = _fate(mark, span, on, is_owed=False)
            # Turns count the lines before a window, but not an early line for it.
            opened = min(span[0], mark.day)
            outcomes.append(Outcome(routine, *span, opened, fate, mark))
            span = after_done_span(timeline, routine, mark.day)
    if span is not None:
        fate = _fate(None, span, on, is_owed=end == on)
        outcomes.append(Outcome(routine, *span, span[0], fate, None))
    outcomes = [one for one in outcomes if low <= one.counted <= high]
    outcomes.sort(key=_counted_on)
    return outcomes, [mark for mark in extras if low <= mark.day <= high]


_counted_on = attrgetter("counted")


def _fate(mark: RecordReference | None, span: Span, on: int, is_owed: bool) -> OutcomeKind:
    first, last = span
    if mark is None:
        if last >= on:
            return OutcomeKind.OPEN
        return OutcomeKind.OWED if is_owed else OutcomeKind.MISSED
    if mark.verb != "did":
        return OutcomeKind.SKIPPED
    if mark.day > last:
        return OutcomeKind.LATE
    return OutcomeKind.EARLY if mark.day < first else OutcomeKind.DONE

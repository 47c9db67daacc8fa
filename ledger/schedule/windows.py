"""Windows: the spans of days in which a chore comes round, one span each time.

The windows of one chore never overlap, whatever its sections say: a window closes the day
before the next opens, and of two that open on one day the one that closes first stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import NamedTuple

from ledger.household.model import Chore, Household, Routine, Section
from ledger.schedule.absence import Span, at_home, away_spans
from ledger.schedule.openings import Rhythm, longest, section_spans
from ledger.schedule.week import MAX_DAY


class Window(NamedTuple):
    """One time that a chore comes round: first and last day, both included, as ordinals."""

    first: int
    last: int
    routine: Routine
    excused: bool = False
    """True where everyone is away on all its days; they are then left as they fall."""


def rhythm_of(household: Household, section: Section, first: int) -> Rhythm:
    """How a section falls on days; without a `from` it counts from its first day in force."""
    anchor = first if section.first is None else section.first
    return Rhythm(section.cadence, anchor, household.week_start, household.weekend)


class Timeline:
    """The windows of one chore, for the household or for one person's own share of it.

    `today` is where a book with neither `since` nor a record begins.
    """

    def __init__(
        self, household: Household, chore: Chore, today: int, person: str | None = None
    ) -> None:
        self.household, self.chore, self.person = household, chore, person
        self._start = household.start(today)
        self._away = away_spans(household, person)

    @cached_property
    def _in_force(self) -> list[tuple[Routine, int, int]]:
        """The calendar lines of the chore, each with its first and last day in force; a line
        with no such day has none."""
        lines = (
            (routine, *self.in_force(routine))
            for routine in self.chore.routines
            if not routine.paused and routine.section.cadence.kind != "after-done"
        )
        return [(routine, first, last) for routine, first, last in lines if first <= last]

    @cached_property
    def _reach(self) -> int:
        return max((longest(routine.section) for routine, _, _ in self._in_force), default=0)

    def in_force(self, routine: Routine) -> Span:
        """First and last day on which a line of the routine counts."""
        first = self._start if routine.first is None else max(self._start, routine.first)
        return first, MAX_DAY if routine.last is None else routine.last

    def after_done(self, day: int) -> Routine | None:
        """The `after done` line that holds on a day, if the chore has one.

        Its last window holds beyond the line's last day, until a line of another kind begins.
        """
        begun = [
            (self.in_force(routine)[0], routine.section.cadence.kind == "after-done", index)
            for index, routine in enumerate(self.chore.routines)
            if not routine.paused and self.in_force(routine)[0] <= day
        ]
        latest = max(begun, default=(0, False, 0))
        return self.chore.routines[latest[2]] if latest[1] else None

    def between(self, low: int, high: int) -> list[Window]:
        """The windows that have a day from `low` to `high`, in order."""
        cut = self._cut(low - self._reach, high + self._reach)
        return [
            window for window in map(self._home, cut) if window.last >= low and window.first <= high
        ]

    def overlaps(self, low: int, high: int) -> Iterator[tuple[Window, Window]]:
        """Pairs of windows as the sections give them, nothing settled yet, that share a day."""
        open_windows: list[Window] = []
        for later in self._raw(low, high):
            open_windows = [window for window in open_windows if window.last >= later.first]
            for earlier in open_windows:
                yield earlier, later
            open_windows.append(later)

    def count_before(self, day: int) -> int:
        """How many windows, excused ones too, have closed before a day since the chore began."""
        if len(self._in_force) == 1:
            routine, first, last = self._in_force[0]
            section, rhythm = routine.section, self._rhythm(routine, first)
            opened = min(last, day - 1)
            if section.cadence.kind == "day" and section.during is None and section.within is None:
                step = section.cadence.every
                return len(range(first + (rhythm.anchor - first) % step, opened + 1, step))
            spans = section_spans(section, rhythm, first - longest(section), opened)
            return sum(first <= end and min(end, last) < day for _, end in spans)
        low = self.first_day(day) - self._reach
        return sum(window.last < day for window in self._cut(low, day))

    def last_opened(self, day: int) -> Window | None:
        """The latest window that has opened by a day, or None before the first."""
        begun, span = self.first_day(day), 8
        while True:
            found = [w for w in self.between(day - span, day) if w.first <= day]
            if found:
                return found[-1]
            if day - span < begun:
                return None
            span *= 4

    def coming(self, day: int, count: int) -> list[Window]:
        """The next windows that open after a day, as many as asked for if there are so many;
        excused ones are passed over."""
        end = max((last for _, _, last in self._in_force), default=0)
        span = 16
        while True:
            found = [
                window
                for window in self.between(day + 1, min(day + span, MAX_DAY))
                if window.first > day and not window.excused
            ]
            if len(found) >= count or day + span > end:
                return found[:count]
            span *= 4

    def first_day(self, day: int) -> int:
        """The first day on which a calendar line of the chore counts, or `day` if none does."""
        return min((first for _, first, _ in self._in_force), default=day)

    def _raw(self, low: int, high: int) -> list[Window]:
        """The windows of every line, cut to its dates in force, by first and last day."""
        windows = []
        for routine, first, last in self._in_force:
            reach = longest(routine.section)
            spans = section_spans(
                routine.section,
                self._rhythm(routine, first),
                max(low, first - reach),
                min(high, last),
            )
            windows += [
                Window(max(start, first), min(end, last), routine)
                for start, end in spans
                if end >= first
            ]
        windows.sort(key=lambda window: window[:2])
        return windows

    def _rhythm(self, routine: Routine, first: int) -> Rhythm:
        return rhythm_of(self.household, routine.section, first)

    def _cut(self, low: int, high: int) -> list[Window]:
        windows = self._raw(low, high)
        if len(self._in_force) == 1:
            return windows
        apart: list[Window] = []
        for window in windows:
            if apart and apart[-1].first == window.first:
                continue
            if apart and apart[-1].last >= window.first:
                apart[-1] = apart[-1]._replace(last=window.first - 1)
            apart.append(window)
        return apart

    def _home(self, window: Window) -> Window:
        if not self._away:
            return window
        home = at_home(window.first, window.last, self._away)
        if home is None:
            return window._replace(excused=True)
        if home == window[:2]:
            return window
        return window._replace(first=home[0], last=home[1])

"""Windows: the spans of days in which a chore comes round, one span each time.

The windows of one chore never overlap, whatever its sections say: a window closes the day
before the next opens, and of two that open on one day the one that closes first counts.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import cached_property
from itertools import accumulate
from operator import itemgetter
from typing import NamedTuple

from ledger.calendar.absence import Span, at_home, away_spans
from ledger.calendar.lines import LineInForce
from ledger.calendar.week import MAX_DAY
from ledger.household.model import Chore, Household, Routine

FEW = 4
"""Up to this many lines of a chore, a scan is as quick as a lookup."""
BLOCK = 64
"""Days whose windows are counted at a time."""
LONG = 366
"""More days away in a row than this are skipped, not searched."""


class Window(NamedTuple):
    """One time that a chore comes round: first and last day, both included, as ordinals."""

    first: int
    last: int
    routine: Routine
    excused: bool = False
    """True if everyone is away on all its days; the days away are then not cut off."""


class _Block(NamedTuple):
    """A row of days with the counts of windows by then: turns are asked for in order of date."""

    start: int
    opened: int
    """How many windows have opened before the days."""
    closed: int
    """How many have closed before them."""
    lasts: Sequence[int]
    """The last day of each that has one of the days."""


_NO_BLOCK = _Block(0, 0, 0, ())


def _until(window: Window, last: int) -> Window:
    return window if window.last <= last else window._replace(last=last)


class Timeline:
    """The windows of one chore, for the household or for one person's own share of it."""

    def __init__(self, household: Household, chore: Chore, person: str | None = None) -> None:
        self.household, self.chore, self.person = household, chore, person
        self._start = household.start
        self._away = away_spans(household, person)
        self._block = _NO_BLOCK

    @cached_property
    def _lines(self) -> list[LineInForce]:
        """The calendar lines of the chore that have a day in force."""
        return [
            LineInForce.of(self.household, routine, first, last)
            for routine in self.chore.routines
            if not routine.paused and not routine.section.is_after_done
            for first, last in (self.in_force(routine),)
            if first <= last
        ]

    def _near(self, low: int, high: int) -> Sequence[LineInForce]:
        """The calendar lines that may have a window on a day from `low` to `high`, in order."""
        if len(self._lines) <= FEW:
            return self._lines
        begun, ends = self._by_first
        numbers = []
        for place in range(bisect_right(begun, high, key=itemgetter(0)) - 1, -1, -1):
            if ends[place] < low:
                break
            numbers.append(begun[place][1])
        return [self._lines[number] for number in sorted(numbers)]

    @cached_property
    def _by_first(self) -> tuple[Sequence[tuple[int, int]], Sequence[int]]:
        """The calendar lines in order of first day, each as that day and its index; and for each
        the last day on which it or an earlier one may have a window."""
        begun = sorted((line.first, place) for place, line in enumerate(self._lines))
        lasts = (self._lines[place].opens_by + self._lines[place].reach for _, place in begun)
        return begun, list(accumulate(lasts, max))

    def in_force(self, routine: Routine) -> Span:
        """First and last day on which a line of the routine is in force."""
        first = self._start if routine.first is None else max(self._start, routine.first)
        return first, MAX_DAY if routine.last is None else routine.last

    def after_done(self, day: int) -> Routine | None:
        """The `after done` line that holds on a day, if the chore has one.

        It holds, even after its own last day, until another line begins.
        """
        index = bisect_right(self._begins, day, key=itemgetter(0)) - 1
        return self._begins[index][1] if index >= 0 else None

    @cached_property
    def _begins(self) -> list[tuple[int, Routine | None]]:
        """The days on which lines begin, each with the `after done` line that holds from then on,
        or None."""
        begun = sorted(
            (self.in_force(routine)[0], routine.section.is_after_done, index)
            for index, routine in enumerate(self.chore.routines)
            if not routine.paused
        )
        return [(day, self.chore.routines[n] if holds else None) for day, holds, n in begun]

    def between(self, low: int, high: int) -> list[Window]:
        """The windows that have a day from `low` to `high`, in order."""
        cut = map(self._without_days_away, self._cut(low, high))
        return [window for window in cut if window.last >= low and window.first <= high]

    def at_home(self, low: int, high: int) -> list[Window]:
        """As `between`, without excused windows; long times away are skipped."""
        windows: list[Window] = []
        for first, last in self._stretches(low, high):
            for window in self.between(first, last):
                # A window that spans a time away is found on both sides of it.
                if not window.excused and (not windows or window.first > windows[-1].first):
                    windows.append(window)
        return windows

    def _stretches(self, low: int, high: int) -> Iterator[Span]:
        """The days from `low` to `high` without long times away, as spans."""
        for away_first, away_last in self._long_away:
            if away_last >= low and away_first <= high:
                if away_first > low:
                    yield low, away_first - 1
                low = away_last + 1
        if low <= high:
            yield low, high

    def days_before(self, day: int, count: int) -> int:
        """The day `count` days before another, where days of long times away do not count."""
        for away_first, away_last in reversed(self._long_away):
            if away_first < day:
                between = max(0, day - away_last - 1)
                if between >= count:
                    break
                day, count = away_first, count - between
        return day - count

    @cached_property
    def _long_away(self) -> list[Span]:
        return [span for span in self._away if span[1] - span[0] >= LONG]

    def overlaps(self, low: int, high: int) -> Iterator[tuple[Window, Window]]:
        """Pairs of windows that share a day before windows are cut apart, of those that have a
        day from `low` to `high`."""
        open_windows: list[Window] = []
        for later in self.uncut(low, high):
            open_windows = [window for window in open_windows if window.last >= later.first]
            for earlier in open_windows:
                yield earlier, later
            open_windows.append(later)

    def count_before(self, day: int) -> int:
        """How many windows, excused ones too, have closed before a day since the chore began."""
        start = day - day % BLOCK
        if start != self._block.start:
            self._block = self._counted(start)
        return self._block.closed + bisect_left(self._block.lasts, day)

    def _counted(self, start: int) -> _Block:
        """The block of days from `start` on, counted on from an earlier block if there is one."""
        before = self._block if self._block.start < start else _NO_BLOCK
        opened = before.opened + self._openings(before.start, start - 1)
        windows = self._cut(start, start + BLOCK - 1)
        still_open = sum(window.first < start for window in windows)
        lasts = [window.last for window in windows]
        return _Block(start, opened, opened - still_open, lasts)

    def count_at_home(self, low: int, high: int) -> int:
        """How many windows have a day from `low` to `high`, without excused ones."""
        begin, end = low + LONG, high - LONG
        if begin >= end:
            return len(self.at_home(low, high))
        # Windows that open after `begin` and close before `end` are counted without building them.
        last = self._cut(end, high)
        count = self._count_inside(begin + 1, end - 1)
        for away_first, away_last in self._away:
            if away_first < end and away_last > begin:
                count -= self._count_inside(max(away_first, begin + 1), min(away_last, end - 1))
        near = [*self._cut(low, begin), *(window for window in last if window.first > begin)]
        homes = map(self._without_days_away, near)
        return count + sum(
            not home.excused and home.last >= low and home.first <= high for home in homes
        )

    def _count_inside(self, low: int, high: int) -> int:
        """How many windows have all their days from `low` to `high`, excused ones too."""
        beyond = sum(low <= window.first <= high for window in self._cut(high + 1, high + 1))
        return self._openings(low, high) - beyond

    def _openings(self, low: int, high: int) -> int:
        """How many windows open from `low` to `high`."""
        # Most daily lists need no such count, and need not load it.
        from ledger.calendar.counting import count_openings

        return count_openings(self._near(low, high), low, high)

    def last_opened(self, day: int) -> Window | None:
        """The latest window that has opened by a day, or None before the first."""
        begun, span = self.first_day(day), 8
        while True:
            opened = [w for w in self.between(day - span, day) if w.first <= day]
            if opened:
                return opened[-1]
            if day - span < begun:
                return None
            span *= 4

    def coming(self, day: int, count: int) -> list[Window]:
        """The next windows that open after a day, at most `count`, without excused ones."""
        end = max((line.opens_by + line.reach for line in self._lines), default=0)
        windows: list[Window] = []
        begin = max(day + 1, self.first_day(day))
        for low, high in self._stretches(begin, min(end, MAX_DAY)):
            span = 16
            while low <= high and len(windows) < count:
                until = min(low + span, high)
                windows += (
                    window
                    for window in self.between(low, until)
                    if window.first >= low and not window.excused
                )
                low, span = until + 1, span * 4
        return windows[:count]

    def first_day(self, day: int) -> int:
        """The first day on which a calendar line of the chore is in force, or `day` if none is."""
        return min((line.first for line in self._lines), default=day)

    def uncut(self, low: int, high: int) -> list[Window]:
        """The windows of every line that have a day from `low` to `high`, cut to the line's dates
        in force, in order of first and last day."""
        windows = [
            Window(first, last, line.routine)
            for line in self._near(low, high)
            for first, last in line.spans(low - line.reach + 1, high)
            if last >= low
        ]
        if len(self._lines) > 1:
            windows.sort(key=itemgetter(0, 1))
        return windows

    def _cut(self, low: int, high: int) -> list[Window]:
        """The windows that have a day from `low` to `high`, cut apart, with days away in them."""
        windows = self.uncut(low, high)
        if len(self._lines) == 1 or not windows:
            return windows
        apart = windows[:1]
        for window in windows[1:]:
            if window.first > apart[-1].first:
                apart[-1] = _until(apart[-1], window.first - 1)
                apart.append(window)
        # A later window may close the last one. A window that is over before `low` may have
        # closed an earlier one that seems open at `low`.
        apart[-1] = self._closed(apart[-1])
        begun = sum(window.first < low for window in apart)
        if begun:
            apart = [self._closed(apart[begun - 1]), *apart[begun:]]
        return [window for window in apart if window.last >= low]

    def _closed(self, window: Window) -> Window:
        """The window, closed the day before the next window of any line opens, and no later than
        another that opens on the same day."""
        for line in self._near(window.first, window.last):
            first, last = next(line.spans(window.first, window.last), (MAX_DAY + 1, MAX_DAY))
            window = _until(window, last if first == window.first else first - 1)
        return window

    def _without_days_away(self, window: Window) -> Window:
        if not self._away:
            return window
        home = at_home(window.first, window.last, self._away)
        if home is None:
            return window._replace(excused=True)
        if home == window[:2]:
            return window
        return window._replace(first=home[0], last=home[1])

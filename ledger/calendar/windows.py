"""Windows: the spans of days in which a chore comes round, one span each time.

The windows of one chore never overlap, whatever its sections say: a window closes the day
before the next opens, and of two that open on one day the one that closes first counts.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import accumulate
from math import ceil
from operator import itemgetter
from typing import NamedTuple

from ledger.calendar.day_lists import dates_of
from ledger.calendar.day_set import DaySet, apart
from ledger.calendar.lines import LineInForce
from ledger.calendar.occurrences import period_days
from ledger.calendar.presence import someone_there
from ledger.calendar.week import HORIZON, MAX_DAY
from ledger.household.model import Chore, Household, Routine, Span

FEW = 4
"""Up to this many lines of a chore, a scan is as quick as a lookup."""
BLOCK = 64
"""Days whose windows are counted at a time."""
NEVER = MAX_DAY + 1
LONG = 9 * 366
"""Days in which each line that ever comes round does so: a 29 February is eight years from the next
at most."""


class Window(NamedTuple):
    """One time that a chore comes round: first and last day, both included, as ordinals."""

    first: int
    last: int
    routine: Routine
    excused: bool = False
    """True if it is asked on none of its days."""


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
        self.routines = tuple(
            routine
            for routine in chore.routines
            if person is None
            or routine.assignment.form != "each"
            or person in routine.assignment.people
        )
        """The lines of the chore, for a person without those under which others do their own."""
        self._block = _NO_BLOCK
        self._latest: dict[int, Window | None] = {}
        """The latest window asked by a day, of days looked at."""

    @cached_property
    def _lines(self) -> list[LineInForce]:
        """The calendar lines of the chore whose dates hold a day."""
        lines = (
            LineInForce.of(self.household, routine, self.person)
            for routine in self.routines
            if not routine.paused and not routine.section.is_after_done
        )
        return [line for line in lines if line.first <= line.last]

    def line_of(self, routine: Routine) -> LineInForce:
        """A line of the chore with the days on which it is in force and asked."""
        line = self._by_routine.get(id(routine))
        if line is None:
            line = LineInForce.of(self.household, routine, self.person)
            self._by_routine[id(routine)] = line
        return line

    @cached_property
    def _by_routine(self) -> dict[int, LineInForce]:
        return {id(line.routine): line for line in self._lines}

    def someone_there(self, routine: Routine) -> DaySet:
        """The days on which someone who can do a line of the chore is there."""
        return someone_there(self.household, routine, self.person)

    def dates(self, routine: Routine) -> tuple[int, int]:
        """First and last day on which a line of the chore may be in force."""
        return dates_of(self.household, routine)

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

    def between(self, low: int, high: int) -> list[Window]:
        """The windows that have a day from `low` to `high`, in order, excused ones too."""
        # Of a window that was cut short no day may be left that is asked.
        return list(map(self._marked, self._apart(low, high)))

    def near(self, low: int, high: int, days: Iterable[int]) -> list[Window]:
        """As `between`, but of very long times only the windows near their ends and near some days,
        and the last asked before each: the others make no difference there."""
        if high - low < 2 * LONG:
            return self.between(low, high)
        points = {low, high, *days}
        latest = (self.last_asked(day) for day in (high, *days))
        points |= {window.first for window in latest if window is not None}
        spans = apart((max(low, day - LONG), min(high, day + LONG)) for day in points)
        found = (
            window
            for first, last in spans
            for window in self.between(first, last)
            if first == low or window.first >= first
        )
        return list(found)

    def asked_between(self, low: int, high: int) -> list[Window]:
        """As `between`, without excused windows."""
        return [window for window in self.between(low, high) if not window.excused]

    def asked_span(self, window: Window, low: int = 0) -> Span | None:
        """The first and the last day, from day `low` on, on which a window is asked in its days."""
        return self.line_of(window.routine).asked.ends(max(window.first, low), window.last)

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
        # Most daily lists need no such count, and need not load it.
        from ledger.calendar.counting import count_openings

        before = self._block if self._block.start < start else _NO_BLOCK
        if self._may_vanish:
            found = self._apart(before.start, start - 1)
            opened = before.opened + sum(window.first >= before.start for window in found)
        else:
            near = self._near(before.start, start - 1)
            opened = before.opened + count_openings(near, before.start, start - 1)
        windows = self._apart(start, start + BLOCK - 1)
        still_open = sum(window.first < start for window in windows)
        lasts = [window.last for window in windows]
        return _Block(start, opened, opened - still_open, lasts)

    def last_opened(self, day: int) -> Window | None:
        """The latest window that has opened by a day, excused or not; None before the first."""
        begun, span = self.first_day(day), 8
        while True:
            opened = [window for window in self._apart(day - span, day) if window.first <= day]
            if opened:
                return self._marked(opened[-1])
            if day - span < begun:
                return None
            span *= 4

    def last_asked(self, day: int) -> Window | None:
        """As `last_opened`, of windows that are not excused."""
        if day not in self._latest:
            self._latest[day] = self._last_asked(day)
        return self._latest[day]

    def _last_asked(self, day: int) -> Window | None:
        while True:
            window = self.last_opened(day)
            if window is None or not window.excused:
                return window
            # Nothing was asked between the last day asked and this window.
            asked_days = (
                line.asked.last(self.first_day(day), window.first - 1) for line in self._lines
            )
            day = max((one for one in asked_days if one is not None), default=0)

    def following(self, day: int) -> Iterator[Window]:
        """The windows that open after a day, in order, excused ones too."""
        end = max((line.opens_by + line.reach for line in self._lines), default=0)
        low, span = max(day + 1, self.first_day(day)), 16
        end = min(end, MAX_DAY, low + self._horizon)
        while low <= end:
            until = min(low + span, end)
            yield from (window for window in self.between(low, until) if window.first >= low)
            low, span = until + 1, span * 4

    def coming(self, day: int) -> Iterator[Window]:
        """The windows that open after a day, in order, without excused ones; long times on which
        nothing is asked are skipped."""
        low, span = day + 1, 16
        end = low + self._horizon
        while (begin := self._next_asked(low)) is not None and begin <= end:
            until = min(begin + span, MAX_DAY)
            for window in self.between(begin, until):
                # A window may open before the first of its days that is asked.
                if window.first >= low and not window.excused:
                    yield window
                    end = window.first + self._horizon
            low, span = until + 1, span * 2

    @cached_property
    def _horizon(self) -> int:
        """The days within which the next window is looked for: at least two periods."""
        periods = (period_days(line.routine.section.cadence) for line in self._lines)
        return max([HORIZON, *(ceil(2 * period) for period in periods)])

    def _next_asked(self, low: int) -> int | None:
        """The next day, from `low` on, on which a line that may still open a window is asked."""
        found = (line.asked.first(low) for line in self._lines if low <= line.opens_by + line.reach)
        return min((day for day in found if day is not None), default=None)

    def first_day(self, day: int) -> int:
        """The first day on which a calendar line of the chore may be in force, or `day` if none
        is."""
        return min((line.first for line in self._lines), default=day)

    def uncut(self, low: int, high: int) -> list[Window]:
        """The windows of every line that have a day from `low` to `high`, cut to the line's days
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

    @cached_property
    def _may_vanish(self) -> bool:
        """True if an excused window of one line may begin inside a window of another."""
        return len(self._lines) > 1 and any(line.asked is not line.force for line in self._lines)

    def _apart(self, low: int, high: int) -> list[Window]:
        """As `between`, before excused windows are marked."""
        windows = self.uncut(low, high)
        if len(self._lines) == 1 or not windows:
            return windows
        if not self._may_vanish:
            return self._cut(windows, low)
        marked = list(map(self._marked, windows))
        asked = self._cut([window for window in marked if not window.excused], low)
        free = [one for one in marked if one.excused and not self._begins_inside(one)]
        merged = sorted([*asked, *self._cut(free, low)], key=itemgetter(0, 1))
        return self._cut(merged, low)

    def _cut(self, windows: Sequence[Window], low: int) -> list[Window]:
        """Windows in order, cut apart; those that have a day from `low` on."""
        apart = list(windows[:1])
        for window in windows[1:]:
            if window.first > apart[-1].first:
                apart[-1] = _until(apart[-1], window.first - 1)
                apart.append(window)
        if not apart:
            return []
        # A later window may close the last one. A window that is over before `low` may have
        # closed an earlier one that seems open at `low`.
        apart[-1] = self._closed(apart[-1])
        begun = sum(window.first < low for window in apart)
        if begun:
            apart = [self._closed(apart[begun - 1]), *apart[begun:]]
        return [window for window in apart if window.last >= low]

    def _begins_inside(self, excused: Window) -> bool:
        """True for an excused window that begins on a day of one that is asked: it is none."""
        day = excused.first
        asked = [one for one in map(self._marked, self.uncut(day, day)) if not one.excused]
        return bool(self._cut(asked, day))

    def _closed(self, window: Window) -> Window:
        """The window, closed the day before the next window of any line opens, and no later than
        another that opens on the same day. An excused one closes none that is asked."""
        for line in self._near(window.first, window.last):
            for first, last in line.spans(window.first, window.last):
                if window.excused or line.asked.any(first, last):
                    window = _until(window, last if first == window.first else first - 1)
                    break
        return window

    def _marked(self, window: Window) -> Window:
        """The window, marked as excused if none of its days is asked."""
        line = self._by_routine[id(window.routine)]
        if line.asked is line.force or line.asked.any(window.first, window.last):
            return window
        return window._replace(excused=True)

"""Windows: the spans of days in which a chore comes round, one span each time.

The windows of one chore never overlap, whatever its sections say: a window closes the day
before the next opens, and of two that open on one day the one that closes first stands.
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
"""Lines of a chore that are asked as quickly as looked up."""
BLOCK = 64
"""Days whose windows are counted at a time."""
LONG = 366
"""Days away in a row from which on what falls on them is not looked through."""


class Window(NamedTuple):
    """One time that a chore comes round: first and last day, both included, as ordinals."""

    first: int
    last: int
    routine: Routine
    excused: bool = False
    """True where everyone is away on all its days; they are then left as they fall."""


class _Block(NamedTuple):
    """Some days in a row, and the windows of a chore by then: turns are asked for in order."""

    start: int
    opened: int
    """How many windows have opened before the days."""
    closed: int
    """How many have closed before them."""
    lasts: Sequence[int]
    """The last days of those that have one of the days."""


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
        """The calendar lines of the chore; one without a day in force is none."""
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
        found = []
        for place in range(bisect_right(begun, high, key=itemgetter(0)) - 1, -1, -1):
            if ends[place] < low:
                break
            found.append(begun[place][1])
        return [self._lines[number] for number in sorted(found)]

    @cached_property
    def _by_first(self) -> tuple[Sequence[tuple[int, int]], Sequence[int]]:
        """The calendar lines by first day, each as that day and its place; and for each the last
        day that it, or one that begins no later, may have a window on."""
        begun = sorted((line.first, place) for place, line in enumerate(self._lines))
        lasts = (self._lines[place].opens_by + self._lines[place].reach for _, place in begun)
        return begun, list(accumulate(lasts, max))

    def in_force(self, routine: Routine) -> Span:
        """First and last day on which a line of the routine counts."""
        first = self._start if routine.first is None else max(self._start, routine.first)
        return first, MAX_DAY if routine.last is None else routine.last

    def after_done(self, day: int) -> Routine | None:
        """The `after done` line that holds on a day, if the chore has one.

        Its last window holds beyond the line's last day, until a line of another kind begins.
        """
        index = bisect_right(self._begins, day, key=itemgetter(0)) - 1
        return self._begins[index][1] if index >= 0 else None

    @cached_property
    def _begins(self) -> list[tuple[int, Routine | None]]:
        """The days on which lines begin, each with the `after done` line that holds from then."""
        begun = sorted(
            (self.in_force(routine)[0], routine.section.is_after_done, index)
            for index, routine in enumerate(self.chore.routines)
            if not routine.paused
        )
        return [(day, self.chore.routines[n] if holds else None) for day, holds, n in begun]

    def between(self, low: int, high: int) -> list[Window]:
        """The windows that have a day from `low` to `high`, in order."""
        cut = map(self._home, self._cut(low, high))
        return [window for window in cut if window.last >= low and window.first <= high]

    def at_home(self, low: int, high: int) -> list[Window]:
        """As `between`, without those that are excused; a long time away is not looked through."""
        found: list[Window] = []
        for first, last in self._stretches(low, high):
            for window in self.between(first, last):
                # A window that reaches over a time away has days on both sides of it.
                if not window.excused and (not found or window.first > found[-1].first):
                    found.append(window)
        return found

    def _stretches(self, low: int, high: int) -> Iterator[Span]:
        """The days from `low` to `high` but for those of a long time away."""
        for gone, back in self._long_away:
            if back >= low and gone <= high:
                if gone > low:
                    yield low, gone - 1
                low = back + 1
        if low <= high:
            yield low, high

    def days_before(self, day: int, count: int) -> int:
        """The day that lies so many days before another, those of a long time away not counted."""
        for gone, back in reversed(self._long_away):
            if gone < day:
                between = max(0, day - back - 1)
                if between >= count:
                    break
                day, count = gone, count - between
        return day - count

    @cached_property
    def _long_away(self) -> list[Span]:
        return [span for span in self._away if span[1] - span[0] >= LONG]

    def overlaps(self, low: int, high: int) -> Iterator[tuple[Window, Window]]:
        """Pairs of windows as the sections give them, nothing settled yet, that share a day, of
        those that have one from `low` to `high`."""
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
        """The windows around some days from a first one on, counted on from those before it."""
        before = self._block if self._block.start < start else _NO_BLOCK
        opened = before.opened + self._openings(before.start, start - 1)
        windows = self._cut(start, start + BLOCK - 1)
        still_open = sum(window.first < start for window in windows)
        lasts = [window.last for window in windows]
        return _Block(start, opened, opened - still_open, lasts)

    def count_at_home(self, low: int, high: int) -> int:
        """How many windows have a day from `low` to `high`; excused ones are passed over."""
        begin, end = low + LONG, high - LONG
        if begin >= end:
            return len(self.at_home(low, high))
        # What opens after the one and closes before the other is counted and not looked at.
        last = self._cut(end, high)
        count = self._count_inside(begin + 1, end - 1)
        for gone, back in self._away:
            if gone < end and back > begin:
                count -= self._count_inside(max(gone, begin + 1), min(back, end - 1))
        near = [*self._cut(low, begin), *(window for window in last if window.first > begin)]
        homes = map(self._home, near)
        return count + sum(
            not home.excused and home.last >= low and home.first <= high for home in homes
        )

    def _count_inside(self, low: int, high: int) -> int:
        """How many windows have all their days from `low` to `high`, excused ones too."""
        beyond = sum(low <= window.first <= high for window in self._cut(high + 1, high + 1))
        return self._openings(low, high) - beyond

    def _openings(self, low: int, high: int) -> int:
        """How many windows open from `low` to `high`."""
        # Most lists of a day count nothing so far back.
        from ledger.calendar.counting import count_openings

        return count_openings(self._near(low, high), low, high)

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
        end = max((line.opens_by + line.reach for line in self._lines), default=0)
        found: list[Window] = []
        begin = max(day + 1, self.first_day(day))
        for low, high in self._stretches(begin, min(end, MAX_DAY)):
            span = 16
            while low <= high and len(found) < count:
                until = min(low + span, high)
                found += (
                    window
                    for window in self.between(low, until)
                    if window.first >= low and not window.excused
                )
                low, span = until + 1, span * 4
        return found[:count]

    def first_day(self, day: int) -> int:
        """The first day on which a calendar line of the chore counts, or `day` if none does."""
        return min((line.first for line in self._lines), default=day)

    def uncut(self, low: int, high: int) -> list[Window]:
        """The windows of every line that have a day from `low` to `high`, each cut to its own
        dates in force, by first and last day."""
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
        """The windows that have a day from `low` to `high`, days away still in them."""
        windows = self.uncut(low, high)
        if len(self._lines) == 1 or not windows:
            return windows
        apart = windows[:1]
        for window in windows[1:]:
            if window.first > apart[-1].first:
                apart[-1] = _until(apart[-1], window.first - 1)
                apart.append(window)
        # What opens after the last of them may close it; and what opened by the first day asked
        # for, and is over, may have closed what was open before.
        apart[-1] = self._closed(apart[-1])
        begun = sum(window.first < low for window in apart)
        if begun:
            apart = [self._closed(apart[begun - 1]), *apart[begun:]]
        return [window for window in apart if window.last >= low]

    def _closed(self, window: Window) -> Window:
        """A window that closes the day before the next window of any line opens, and no later
        than another that opens with it."""
        for line in self._near(window.first, window.last):
            first, last = next(line.spans(window.first, window.last), (MAX_DAY + 1, MAX_DAY))
            window = _until(window, last if first == window.first else first - 1)
        return window

    def _home(self, window: Window) -> Window:
        if not self._away:
            return window
        home = at_home(window.first, window.last, self._away)
        if home is None:
            return window._replace(excused=True)
        if home == window[:2]:
            return window
        return window._replace(first=home[0], last=home[1])

"""Rows: the windows of a calendar chore in order, and which line of the record settles which.

A line is for the window that is owed on its day: the list and the record agree. Where none is owed,
a `did` is for the window of its day or the nearer of its neighbours, and the other lines are for
the window of their day or the next one. See section 11 of FORMAT.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice

from ledger.calendar.occurrences import period_at
from ledger.calendar.week import MAX_DAY
from ledger.calendar.windows import NEVER, Timeline, Window
from ledger.household.model import Routine
from ledger.keeping.occasion import Occasion
from ledger.keeping.record_lines import RecordReference, worked_minutes


class Row:
    """The windows of a chore, or of one person's share of it, around the lines that it is given."""

    def __init__(
        self,
        timeline: Timeline,
        windows: Iterable[Window],
        following: Iterator[Window],
        on: int,
        is_cut: bool,
    ) -> None:
        """`windows` are in order; `following` gives those that come after them. `on` is the day
        that the record is known up to. `is_cut` is true if the first window is there only because
        it may stand in the way of a move: the row is not given the lines before the second."""
        self.timeline, self._on, self._is_cut = timeline, on, is_cut
        self._following = following
        self._occasions = [self._occasion(window) for window in windows]
        self.extras: list[RecordReference] = []
        """Lines that found no window."""
        self._beyond = 0, 0
        """The first day of the last window looked at, and that of the next one after it that is
        not excused."""
        self._opened = -1
        """Index of the latest window that has opened."""
        self._missed = -1
        """Index of the latest window that was found to be owed no more: it stays so, wherever later
        lines move the next."""
        self._latest = -1
        """Index of the latest of these that is not excused: only this one can be owed. All before
        it are owed no more, even if it is moved to a later day."""

    def _occasion(self, window: Window) -> Occasion:
        return Occasion(self.timeline, window, window.first, window.last, self._on)

    @property
    def known(self) -> Sequence[Occasion]:
        """The windows that were looked at, in order."""
        return self._occasions

    def at(self, index: int) -> Occasion | None:
        """A window of the row by its index, or None after the last there is."""
        while index >= len(self._occasions):
            window = next(self._following, None)
            if window is None:
                return None
            self._occasions.append(self._occasion(window))
        return self._occasions[index]

    def up_to(self, day: int) -> list[Occasion]:
        """The windows that open by a day or that the record has touched, in order."""
        count = len(self._occasions)
        while (one := self.at(count)) is not None and one.first <= day:
            count += 1
        return [
            one
            for one in self._occasions
            if one.first <= day or one.mark or one.moved or one.worked
        ]

    # -------------------------------------------------------------- what is owed

    def advance(self, day: int) -> None:
        """Open the windows that begin by a day: each drops those before it."""
        while (one := self.at(self._opened + 1)) is not None:
            if not one.is_gone and one.first > day:
                return
            self._opened += 1
            if not one.is_excused and not one.is_gone:
                self._latest = max(self._latest, self._opened)

    def owed(self, day: int) -> Occasion | None:
        """The window that is owed on a day, by the lines taken so far."""
        self.advance(day)
        one = self.latest
        if one is None or one.mark or one.first > day or self._latest == self._missed:
            return None
        return one if day <= one.last or self._is_late_on(one, day) else None

    def _is_late_on(self, one: Occasion, day: int) -> bool:
        """True if a window is still owed on a day after its last."""
        routine = one.routine
        if routine.expires or routine.spare:
            return False
        if routine.section.cadence.is_once:
            return day <= self.timeline.dates(routine)[1]
        force = self.timeline.line_of(routine).force
        if force.holds(day):
            return True
        return force.first(day, self.closes) is not None

    @property
    def latest(self) -> Occasion | None:
        """The latest window that has opened and is not excused."""
        return self._occasions[self._latest] if self._latest >= 0 else None

    @property
    def settled(self) -> Occasion | None:
        """The window by which the chore stands if none is owed: the latest that has opened, if it
        is settled; if that one was moved to a later day, the one before."""
        index = self._standing
        return self._occasions[index] if index >= 0 and self._occasions[index].mark else None

    @property
    def is_too_short(self) -> bool:
        """True if it stands as its first window, whose lines it was not given."""
        return self._is_cut and self._standing == 0

    @property
    def _standing(self) -> int:
        index = self._latest
        while index >= 0 and self._occasions[index].first > self._on:
            index = self._asked_before(index)
        return index

    def shown(self, day: int) -> Occasion | None:
        """The window that the list of a day shows: it is owed, and asked on that day."""
        one = self.owed(day)
        return one if one is not None and one.is_asked(day) else None

    @property
    def closes(self) -> int:
        """The day before the next window that is asked opens."""
        return min(self._next_opening(self._latest) - 1, MAX_DAY)

    def closes_of(self, one: Occasion) -> int:
        """The last day on which a window of the row was owed, if nothing had settled it."""
        index = next(n for n, other in enumerate(self._occasions) if other is one)
        opening = self._next_opening(index)
        after = self._asked_after(index)
        if after is not None and after.moved is not None and after.moved.day >= after.opened:
            # It had opened before it was moved.
            opening = min(opening, after.opened)
        return min(opening - 1, MAX_DAY)

    def _next_opening(self, index: int) -> int:
        """The first day of the next window after one that is not excused, or NEVER."""
        after = self._asked_after(index)
        if after is not None:
            return after.first
        # There may be centuries of excused windows, which the timeline skips.
        known = self._occasions[-1].opened
        if self._beyond[0] != known:
            self._beyond = known, next((one.first for one in self.timeline.coming(known)), NEVER)
        return self._beyond[1]

    def _asked_after(self, index: int) -> Occasion | None:
        """The next window after one that is not excused, of those looked at."""
        some = islice(self._occasions, index + 1, None)
        return next((one for one in some if not one.is_excused and not one.is_gone), None)

    # -------------------------------------------------------------- taking lines

    def take(self, line: RecordReference) -> None:
        """Give a line of the record to the window that it is for. Lines come in order of date."""
        self.advance(line.day)
        one = self.owed(line.day)
        if one is not None:
            index = self._latest
        else:
            self._find_missed(line.day)
            found = self._for_did(line.day) if line.verb == "did" else self._for_other(line.day)
            index = -1 if found is None else found
        if index < 0 or not self._apply(index, line):
            self.extras.append(line)

    def _find_missed(self, day: int) -> None:
        latest = self.latest
        if latest is not None and latest.last < day:
            self._missed = self._latest

    def _before(self, day: int) -> int:
        """Index of the latest window whose first day has come, or -1."""
        index = self._opened
        while index >= 0 and (self._occasions[index].is_gone or self._occasions[index].first > day):
            index -= 1
        return index

    def _after(self, index: int, day: int) -> int | None:
        """Index of the window after one whose first day is still to come, or None."""
        index += 1
        while (one := self.at(index)) is not None:
            if not one.is_gone and one.first > day:
                return index
            index += 1
        return None

    def _for_other(self, day: int) -> int | None:
        """The window of a `skipped`, `moved` or `worked` where none is owed: that of the day, else
        the next."""
        index = self._before(day)
        if index < 0 or self._occasions[index].last < day:
            after = self._after(index, day)
            if after is None:
                return None
            index = after
        return index if self._occasions[index].mark is None else None

    def _for_did(self, day: int) -> int | None:
        """The window of a `did` where none is owed."""
        latest = self.latest
        if latest is not None and latest.mark is None and latest.moved and latest.first > day:
            return self._latest
        before = self._before(day)
        after = self._after(before, day)
        ahead = None if after is None else self._occasions[after]
        if ahead is not None and ahead.mark is None and ahead.moved is not None:
            return after
        is_part, part = self._part(before, day)
        if is_part:
            return part
        behind = self._occasions[before] if before >= 0 else None
        if behind is not None and (
            day <= behind.last or ahead is None or day - behind.last <= ahead.first - day
        ):
            return before if behind.mark is None else None
        if after is None or ahead is None or ahead.mark is not None:
            return None
        is_near = ahead.routine.section.cadence.is_once or ahead.first - day <= ahead.period
        return after if is_near else None

    def _part(self, before: int, day: int) -> tuple[bool, int | None]:
        """Whether a day lies in a period of `N times`, and the part that a `did` takes: that of
        its day, else the next of the period that is not settled, else the last before."""
        parts: dict[int, Occasion] = {}
        for routine in self.timeline.routines:
            if routine.section.cadence.times > 1:
                period = period_at(self.timeline.line_of(routine).rhythm, day)
                parts |= self._parts_of(routine, period, before) if period is not None else {}
        free = {n: parts[n] for n in sorted(parts) if parts[n].mark is None}
        own = [n for n, part in free.items() if part.first <= day <= part.last]
        later = [n for n, part in free.items() if part.first > day]
        earlier = [n for n, part in free.items() if part.last < day]
        return bool(parts), next(iter([*own, *later, *reversed(earlier)]), None)

    def _parts_of(
        self, routine: Routine, period: tuple[int, int], before: int
    ) -> dict[int, Occasion]:
        """The windows of a period of `N times`, by their indices; `before` is one near them."""
        index = max(before, 0)
        while index > 0 and self._occasions[index - 1].opened >= period[0]:
            index -= 1
        parts: dict[int, Occasion] = {}
        while (one := self.at(index)) is not None and one.opened <= period[1]:
            if one.routine is routine and one.opened >= period[0] and not one.is_gone:
                parts[index] = one
            index += 1
        return parts

    # -------------------------------------------------------------- what lines do

    def _apply(self, index: int, line: RecordReference) -> bool:
        """Settle, move or work on a window; False if it cannot be moved so."""
        one = self._occasions[index]
        if line.verb == "worked":
            one.worked += worked_minutes(self.timeline.household.log, one.chore, line)
            return True
        if line.to is not None:
            return self._move(index, line, line.to)
        one.mark = line
        if index <= self._opened:
            self._latest = max(self._latest, index)
        return True

    def _move(self, index: int, line: RecordReference, to: int) -> bool:
        one, before = self._occasions[index], self._asked_before(index)
        day = self.timeline.someone_there(one.routine).first(to)
        if day is None or day >= self._next_opening(index):
            return False
        if before >= 0 and to <= self._occasions[before].last:
            return False
        one.moved, one.first, one.last = line, day, day
        for passed in range(before + 1, index):
            self._occasions[passed].is_gone |= self._occasions[passed].last >= to
        passed = index + 1
        while (other := self.at(passed)) is not None and other.first <= day:
            other.is_gone = True
            passed += 1
        if index <= self._opened:
            self._latest = max(self._latest, index)
        return True

    def _asked_before(self, index: int) -> int:
        """Index of the window before one that is not excused, or -1."""
        index -= 1
        while index >= 0 and (self._occasions[index].is_excused or self._occasions[index].is_gone):
            index -= 1
        return index

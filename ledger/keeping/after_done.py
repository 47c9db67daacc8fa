"""After done: the windows of a chore that comes round some days after it was last done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.calendar.week import MAX_DAY
from ledger.calendar.windows import Timeline, Window
from ledger.keeping.occasion import Occasion
from ledger.keeping.record_lines import RecordReference, worked_minutes


class AfterDoneRow:
    """As `Row`, for a chore with an `after done` line: each window hangs on the one before."""

    def __init__(self, timeline: Timeline, on: int) -> None:
        """`on` is the day that the record is known up to."""
        self.timeline, self._on = timeline, on
        self.extras: list[RecordReference] = []
        """Lines that found no window."""
        self.closes = MAX_DAY
        """No later window opens before this one is settled."""
        self._past: list[Occasion] = []
        self._current = self._after(None)
        """The window still to be done, or None after the last day of its line."""

    def _after(self, settled: int | None) -> Occasion | None:
        """The window that follows a `did` or `skipped` of a day, or for None the first one: it
        opens on the first day on which it is asked."""
        (routine,) = self.timeline.chore.routines
        if routine.paused:
            return None
        line, (begin, end) = self.timeline.line_of(routine), self.timeline.dates(routine)
        if settled is not None:
            begin = max(begin, settled + routine.section.cadence.every)
        first = line.asked.first(begin) if begin <= MAX_DAY else None
        if first is None:
            return None
        last = first + (routine.section.within or 1) - 1
        window = Window(first, min(last, end), routine)
        return Occasion(self.timeline, window, window.first, window.last, self._on)

    def owed(self, day: int) -> Occasion | None:
        """The window that is owed on a day, by the lines taken so far."""
        one = self._current
        if one is None or one.first > day:
            return None
        force = self.timeline.line_of(one.routine).force
        return one if day <= one.last or force.first(day) is not None else None

    def shown(self, day: int) -> Occasion | None:
        """The window that the list of a day shows: it is owed, and asked on that day."""
        one = self.owed(day)
        return one if one is not None and one.is_asked(day) else None

    @property
    def settled(self) -> Occasion | None:
        """The window by which the chore stands if none is owed: the one that was settled last, if
        none has opened since."""
        one = self._current
        has_opened = one is not None and one.first <= self._on
        return self._past[-1] if self._past and not has_opened else None

    @property
    def known(self) -> Sequence[Occasion]:
        """The windows that are known, in order."""
        return [*self._past, self._current] if self._current else self._past

    def one_after_another(self, low: int, high: int) -> Iterator[Occasion]:
        """The windows that open from one day to another, if each is done on its first day, or on
        the day asked if it has begun by then."""
        one = self._current
        while one is not None and one.first <= high:
            if one.first >= low:
                yield one
            following = self._after(max(one.first, self._on))
            if following is not None:
                following.is_expected = True
            one = following

    def up_to(self, day: int) -> list[Occasion]:
        """The windows that open by a day or that the record has touched, in order."""
        one = self._current
        is_open = one is not None and (one.first <= day or one.moved or one.worked)
        return [*self._past, one] if one is not None and is_open else list(self._past)

    def take(self, line: RecordReference) -> None:
        """Give a line of the record to the window that it is for. Lines come in order of date."""
        one = self._current
        if line.verb in ("did", "skipped"):
            one = one or self._of_day(line.day)
            one.mark = line
            self._past.append(one)
            self._current = self._after(line.day)
        elif one is None:
            self.extras.append(line)
        elif line.to is None:
            one.worked += worked_minutes(self.timeline.household.log, one.chore, line)
        elif not self._move(one, line, line.to):
            self.extras.append(line)

    def _move(self, one: Occasion, line: RecordReference, to: int) -> bool:
        """Put the window on another day; False if it is missed, or nobody is ever there."""
        day = self.timeline.someone_there(one.routine).first(to)
        if day is None or (one.last < line.day and self.owed(line.day) is None):
            return False
        one.moved, one.first, one.last = line, day, day
        return True

    def _of_day(self, day: int) -> Occasion:
        """The window of what is done after the last day of the line, or while it is paused."""
        (routine,) = self.timeline.chore.routines
        return Occasion(self.timeline, Window(day, day, routine), day, day, self._on)

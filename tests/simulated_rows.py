"""One row of windows as the record settles it, for the simulator: line by line, day by day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple, Protocol

from simulated_calendar import FAR, PlainCalendar, PlainWindow
from simulated_home import LAST_DAY, Home, PlainLine


class Said(NamedTuple):
    """What a line of the record says of one chore."""

    number: int
    """Place in the record, by date."""
    day: int
    verb: str
    minutes: int | None
    people: tuple[str, ...]
    to: int | None


class Fate(NamedTuple):
    """What became of a window that is not excused, as seen on a day."""

    first: int
    last: int
    """Its days after any move."""
    opened: int
    """Its first day before any move."""
    kind: str
    """done, late, early, skipped, missed, owed, spare (not done when time was left) or open: to be
    done on the day or later."""
    line: int | None
    """Place in the record, by date, of the line that settled it."""
    counted: int
    """The day it was settled on; else its last."""
    minutes: int
    """Minutes of its line."""
    worked: tuple[tuple[int, int], ...] = ()
    """Each line that worked on it, with its minutes."""

    @property
    def left(self) -> int:
        """Minutes still to do, of those declared."""
        return max(0, self.minutes - sum(minutes for _, minutes in self.worked))


class Standing(NamedTuple):
    """A window that is owed on a day."""

    first: int
    last: int
    late: int
    """Days after its last on which it was asked, the day itself too."""
    left: int
    who: tuple[str, ...]
    spare: bool
    is_asked: bool


@dataclass(eq=False)
class Slot:
    """A window as it lies by now, and what the record did to it."""

    window: PlainWindow
    number: int
    """Place in its chore's windows, counted from 0."""
    first: int
    last: int
    excused: bool
    moved: bool = False
    dropped: bool = False
    """Never owed again, done or not."""
    settled: Said | None = None
    worked: list[tuple[int, int]] = field(default_factory=list)

    def fate(self, kind: str) -> Fate:
        """What became of it, where that is not told by the line that settled it."""
        counted, line = self.last, None
        if self.settled is not None:
            counted, line = self.settled.day, self.settled.number
            kind = "late" if counted > self.last else "early" if counted < self.first else "done"
            kind = "skipped" if self.settled.verb == "skipped" else kind
        window = self.window
        return Fate(
            self.first, self.last, window.first, kind, line, counted, window.minutes,
            tuple(self.worked),
        )  # fmt: skip


class Row(Protocol):
    """The windows of a chore, or of one person's share, and what lines did to them so far."""

    calendar: PlainCalendar
    extras: list[int]

    def take(self, said: Said) -> int | None:
        """Do what a line says; the first day of the window it took, before any move, or None for
        an extra."""

    def standing(self, day: int) -> Standing | None:
        """The window that is owed on a day, asked or not."""

    def fates(self, day: int) -> list[Fate]:
        """What became of each window that is not excused, by a day."""

    def to_do(self, day: int) -> list[Slot]:
        """The windows that are still to be done on a day or later, as the record has them."""

    def is_asked(self, slot: Slot, day: int) -> bool:
        """True if a window is asked on a day."""


def days_late(home: Home, line: PlainLine, person: str | None, last: int, day: int) -> int:
    """The days after a window's last, up to and with a day, on which it was asked."""
    return sum(home.is_asked(line, person, one) for one in range(last + 1, day + 1))


class CalendarRow:
    """Windows that the calendar gives."""

    def __init__(self, calendar: PlainCalendar, chore: str, person: str | None, on: int) -> None:
        self.calendar, self.home, self.person = calendar, calendar.home, person
        self.extras: list[int] = []
        self.slots = [
            Slot(window, number, window.first, window.last, window.excused)
            for number, window in enumerate(calendar.around(chore, person, on))
        ]
        """In order of days; those that a move passed are taken out."""

    # ------------------------------------------------------------------ what is owed

    def _over(self, day: int) -> list[Slot]:
        """The windows that by a day are owed never again: one after them has opened, or the days
        on which they can be late are past."""
        opened = [n for n, slot in enumerate(self.slots) if not slot.excused and slot.first <= day]
        last = opened[-1] if opened else 0
        gone = opened and self.owed(day) is None and self.slots[last].settled is None
        return self.slots[: last + 1 if gone else last]

    def owed(self, day: int) -> Slot | None:
        """The one window that is owed on a day."""
        opened = [slot for slot in self.slots if not slot.excused and slot.first <= day]
        if not opened or opened[-1].settled is not None or opened[-1].dropped:
            return None
        slot = opened[-1]
        line = slot.window.line
        if day <= slot.last:
            return slot
        if line.expires or line.spare:
            return None
        if line.cadence.kind == "once":
            return slot if day <= line.last else None
        following = [one.first for one in self.slots if not one.excused and one.first > day]
        end = min([day + FAR, LAST_DAY, *(first - 1 for first in following)])
        left = any(self.home.in_force(line, one) for one in range(day, end + 1))
        return slot if left else None

    def is_asked(self, slot: Slot, day: int) -> bool:
        """True if a window is asked on a day: where it was moved to, in force or not."""
        line = slot.window.line
        if slot.moved and day == slot.first:
            return self.home.someone_there(line, self.person, day)
        return self.home.is_asked(line, self.person, day)

    def standing(self, day: int) -> Standing | None:
        """The window that is owed on a day, asked or not."""
        slot = self.owed(day)
        if slot is None:
            return None
        line = slot.window.line
        late = days_late(self.home, line, self.person, slot.last, day)
        return Standing(
            slot.first, slot.last, late, slot.fate("").left,
            self.calendar.who(slot.number, slot.window), line.spare, self.is_asked(slot, day),
        )  # fmt: skip

    # ------------------------------------------------------------------ what lines do

    def take(self, said: Said) -> int | None:
        """Do what a line says; the first day of the window it took, or None for an extra."""
        for one in self._over(said.day):
            one.dropped = True
        slot = self.owed(said.day)
        if slot is None:
            wanted = self._for_did if said.verb == "did" else self._for_others
            slot = wanted(said.day)
        if slot is not None and said.verb == "moved":
            slot = self._moved(slot, said)
        if slot is None:
            self.extras.append(said.number)
            return None
        if said.verb in ("did", "skipped"):
            slot.settled, slot.excused = said, False
        if said.verb == "worked":
            slot.worked.append((said.number, said.minutes or 0))
        return slot.window.first

    def _for_did(self, day: int) -> Slot | None:
        """The window that a `did` is for, where none is owed."""
        for slot in self.slots:
            if slot.moved and slot.first > day and slot.settled is None and not slot.dropped:
                return slot
        inside = [
            slot
            for slot in self.slots
            if slot.window.period and slot.window.period[0] <= day <= slot.window.period[1]
        ]
        if inside:
            return self._part(inside, day)
        holding = self._holding(day)
        if holding is not None:
            return holding if holding.settled is None else None
        before = [slot for slot in self.slots if slot.last < day][-1:]
        after = [slot for slot in self.slots if slot.first > day][:1]
        near = [(day - slot.last, 0, slot) for slot in before]
        near += [(slot.first - day, 1, slot) for slot in after]
        if not near:
            return None
        days, is_after, slot = min(near, key=lambda one: one[:2])
        line = slot.window.line
        too_early = line.cadence.kind != "once" and days > self.calendar.period(line)
        return None if slot.settled is not None or (is_after and too_early) else slot

    def _part(self, inside: list[Slot], day: int) -> Slot | None:
        """Of `N times`, the part that a `did` in the period is for."""
        free = [slot for slot in inside if slot.settled is None]
        own = [slot for slot in free if slot.first <= day <= slot.last]
        later = [slot for slot in free if slot.first > day]
        earlier = [slot for slot in free if slot.last < day]
        return next(iter([*own, *later, *reversed(earlier)]), None)

    def _for_others(self, day: int) -> Slot | None:
        """The window that `skipped`, `moved` or `worked` is for, where none is owed."""
        holding = self._holding(day)
        slot = holding or next((slot for slot in self.slots if slot.first > day), None)
        return slot if slot is not None and slot.settled is None else None

    def _holding(self, day: int) -> Slot | None:
        return next((slot for slot in self.slots if slot.first <= day <= slot.last), None)

    def _moved(self, slot: Slot, said: Said) -> Slot | None:
        """Put a window on another day, between its neighbours; None where it may not lie there."""
        place, to = self.slots.index(slot), said.to or 0
        before = [one for one in self.slots[:place] if not one.excused]
        after = [one for one in self.slots[place + 1 :] if not one.excused]
        first = self.calendar.first_there(slot.window.line, self.person, to)
        if first is None or (before and to <= before[-1].last):
            return None
        if after and first >= after[0].first:
            return None
        slot.first = slot.last = first
        slot.moved, slot.excused = True, False
        self.slots = [
            one
            for number, one in enumerate(self.slots)
            if one is slot
            or not one.excused
            or (one.last < to if number < place else one.first > slot.last)
        ]
        return slot

    # ------------------------------------------------------------------ what became

    def fates(self, day: int) -> list[Fate]:
        """What became of each window that is not excused, by a day."""
        owed, over = self.owed(day), len(self._over(day))
        return [
            slot.fate(self._kind(slot, slot.dropped or number < over, owed, day))
            for number, slot in enumerate(self.slots)
            if not slot.excused
        ]

    def to_do(self, day: int) -> list[Slot]:
        """The windows that are still to be done on a day or later, as the record has them."""
        slots = [slot for slot in self.slots if not slot.excused]
        fates = zip(slots, self.fates(day), strict=True)
        return [slot for slot, fate in fates if fate.kind in ("open", "owed")]

    def _kind(self, slot: Slot, is_over: bool, owed: Slot | None, day: int) -> str:
        if not is_over and slot.last >= day:
            return "open"
        if slot is owed:
            return "owed"
        return "spare" if slot.window.line.spare else "missed"


class AfterDoneRow:
    """The one window of `N days after done`, which hangs on what was done last."""

    def __init__(self, calendar: PlainCalendar, line: PlainLine, person: str | None) -> None:
        self.calendar, self.home = calendar, calendar.home
        self.line, self.person = line, person
        self.extras: list[int] = []
        self.past: list[Slot] = []
        self.to: int | None = None
        self.worked: list[tuple[int, int]] = []

    def _days(self) -> PlainWindow | None:
        """The window as it falls, before any move."""
        last = [slot.settled.day for slot in self.past if slot.settled is not None]
        wanted = max(self.line.first, (last[-1] + self.line.cadence.every) if last else 0)
        first = self.calendar.first_asked(self.line, self.person, wanted)
        if first is None:
            return None
        end = min(first + (self.line.within or 1) - 1, self.line.last)
        return PlainWindow(first, end, False, self.line.minutes, self.line)

    def slot(self, day: int = LAST_DAY) -> Slot | None:
        """The window as it lies by now, if it has opened by a day."""
        window = None if self.line.paused else self._days()
        first, last = (window.first, window.last) if window else (LAST_DAY + 1, LAST_DAY + 1)
        if self.to is not None and not self.line.paused:
            there = self.calendar.first_there(self.line, self.person, self.to)
            first = last = LAST_DAY + 1 if there is None else there
            window = window or PlainWindow(first, last, False, self.line.minutes, self.line)
        if window is None or first > day:
            return None
        moved = self.to is not None
        return Slot(window, len(self.past), first, last, False, moved, worked=self.worked)

    def is_asked(self, slot: Slot, day: int) -> bool:
        """True if the window is asked on a day: where it was moved to, in force or not."""
        if slot.moved and day == slot.first:
            return self.home.someone_there(self.line, self.person, day)
        return self.home.is_asked(self.line, self.person, day)

    def to_do(self, day: int) -> list[Slot]:
        """The window, if it is still to be done on a day or later."""
        slot = self.slot()
        return [slot] if slot is not None and self._kind(slot, day) in ("open", "owed") else []

    def is_owed(self, slot: Slot, day: int) -> bool:
        """True if the window, opened by a day, is owed on it."""
        if day <= slot.last:
            return True
        end = min(day + FAR, self.line.last, LAST_DAY)
        return any(self.home.in_force(self.line, one) for one in range(day, end + 1))

    def standing(self, day: int) -> Standing | None:
        """The window that is owed on a day, asked or not."""
        slot = self.slot(day)
        if slot is None or not self.is_owed(slot, day):
            return None
        late = days_late(self.home, self.line, self.person, slot.last, day)
        return Standing(
            slot.first, slot.last, 0 if self.line.spare else late, slot.fate("").left,
            self.calendar.who(slot.number, slot.window), self.line.spare,
            self.is_asked(slot, day),
        )  # fmt: skip

    def take(self, said: Said) -> int | None:
        """Do what a line says: an extra is only the move of what is missed already."""
        slot = self.slot()
        if slot is None and said.verb not in ("did", "skipped"):
            self.extras.append(said.number)
            return None
        if said.verb == "moved":
            there = self.calendar.first_there(self.line, self.person, said.to or 0)
            if there is None or (slot is not None and self._kind(slot, said.day) == "missed"):
                self.extras.append(said.number)
                return None
            self.to = said.to
        elif said.verb == "worked":
            self.worked.append((said.number, said.minutes or 0))
        else:
            if slot is None:
                window = PlainWindow(said.day, said.day, False, self.line.minutes, self.line)
                slot = Slot(window, len(self.past), said.day, said.day, False, worked=self.worked)
            slot.settled = said
            self.past.append(slot)
            self.to, self.worked = None, []
        return slot.window.first if slot else said.day

    def fates(self, day: int) -> list[Fate]:
        """What became of each window, by a day."""
        return list(self._fates(day))

    def _fates(self, day: int) -> Iterator[Fate]:
        yield from (slot.fate("") for slot in self.past)
        slot = self.slot()
        if slot is not None:
            yield slot.fate(self._kind(slot, day))

    def _kind(self, slot: Slot, day: int) -> str:
        if slot.last >= day:
            return "open"
        if self.is_owed(slot, day):
            return "owed"
        return "spare" if self.line.spare else "missed"

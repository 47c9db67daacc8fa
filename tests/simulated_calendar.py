"""Windows, turns and limits of a home, for the simulator: worked out day by day, from the rules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from simulated_cadences import CadenceSpan, cadence_spans, longest, period_of
from simulated_home import LAST_DAY, Home, PlainLine

from ledger.text.values import DAYS

FAR = 800
"""How many days ahead one looks for a day that is asked, or in force."""
OFTEN = 24
"""How many spans out of force show that a line is never in force in any."""
STRETCH = 64
"""Days for which the windows around are the same."""
HORIZONS = (100, FAR, 15_000)
"""How many days ahead one looks for the next windows: a 29th of February is far."""


class PlainWindow(NamedTuple):
    """A window as the calendar gives it."""

    first: int
    last: int
    excused: bool
    minutes: int
    line: PlainLine
    period: tuple[int, int] | None = None
    """Of `N times`, the whole period that it is a part of."""


class PlainCalendar:
    """What the calendar alone says of a home, before any record."""

    def __init__(self, home: Home) -> None:
        self.home = home
        self._near: dict[tuple[str, str | None, int], list[PlainWindow]] = {}

    # ------------------------------------------------------------------ windows

    def windows(
        self, chore: str, person: str | None, until: int, low: int = 0
    ) -> list[PlainWindow]:
        """All windows of a row that begin by a day, in order; if a day `low` is given, of those
        that are over before it only some."""
        lines = self.home.lines_of(chore, person)
        # What ends a window may itself begin after the day.
        reach = max(longest(line.cadence, line.within) for line in lines)
        found = [
            window
            for line in lines
            if line.cadence.kind != "after-done"
            for window in self._of_line(line, person, low - 2 * reach, until + reach)
        ]
        asked = _settled([window for window in found if not window.excused])
        # One that nobody is asked for takes nothing from one that somebody is.
        free = [
            window
            for window in found
            if window.excused and not any(one.first <= window.first <= one.last for one in asked)
        ]
        merged = _settled([*asked, *free])
        return [self._marked(window, person) for window in merged if window.first <= until]

    def _of_line(
        self, line: PlainLine, person: str | None, low: int, high: int
    ) -> Iterator[PlainWindow]:
        if line.paused or line.first > line.last:
            return
        spans = cadence_spans(
            line.cadence,
            self.home.week,
            line.counts_from,
            max(low, line.first),
            min(high, line.last),
            line.within,
        )
        for span in spans:
            window = self._cut(line, span)
            if window is not None and line.cadence.kind == "once":
                window = self._opened(window, person)
            if window is not None:
                yield self._marked(window, person)

    def _cut(self, line: PlainLine, span: CadenceSpan) -> PlainWindow | None:
        """A span cut at both ends to days in force; none where no day is left."""
        days = [
            day
            for day in range(max(span.first, line.first), min(span.last, line.last) + 1)
            if self.home.in_force(line, day)
        ]
        if not days:
            return None
        return PlainWindow(days[0], days[-1], False, line.minutes, line, span.period)

    def _opened(self, window: PlainWindow, person: str | None) -> PlainWindow | None:
        """The window of `once`, which opens on the first day from then on that is asked."""
        first = self.first_asked(window.line, person, window.first)
        if first is None:
            return None
        return window._replace(first=first, last=max(first, window.last))

    def _marked(self, window: PlainWindow, person: str | None) -> PlainWindow:
        """The window, excused if none of its days is asked."""
        days = range(window.first, window.last + 1)
        return window._replace(
            excused=not any(self.home.is_asked(window.line, person, day) for day in days)
        )

    def first_asked(self, line: PlainLine, person: str | None, day: int) -> int | None:
        """The first day from a day on, on which a line is asked."""
        for one in range(max(day, line.first), min(day + FAR, line.last, LAST_DAY) + 1):
            if self.home.is_asked(line, person, one):
                return one
        return None

    def first_there(self, line: PlainLine, person: str | None, day: int) -> int | None:
        """The first day from a day on, on which someone who can do a line is there."""
        for one in range(day, min(day + FAR, LAST_DAY) + 1):
            if self.home.someone_there(line, person, one):
                return one
        return None

    def around(self, chore: str, person: str | None, day: int) -> list[PlainWindow]:
        """All windows of a row up to a day, and those after it that matching may look at."""
        # The same for every day of a stretch, so that it is worked out once.
        end = self.home.start + (self.stretch(day) + 1) * STRETCH
        lines = self.home.lines_of(chore, person)
        for days in HORIZONS:
            found = self.near(chore, person, end + days)
            later = [one for one in found if one.first > end]
            if len(later) > 1 and (days >= FAR or sum(not one.excused for one in later) > 1):
                break
            if all(line.last <= end + days for line in lines):
                break
            if days >= FAR and all(self._falls(line, end, end + days) for line in lines):
                break
        return found

    def _falls(self, line: PlainLine, low: int, high: int) -> bool:
        """True if the cadence of a line falls in some days, in force or not, and so often that it
        would be in force in one of its spans if it ever was."""
        spans = cadence_spans(line.cadence, self.home.week, line.counts_from, low, high, None)
        return line.cadence.kind == "once" or sum(span.first > low for span in spans) >= OFTEN

    def stretch(self, day: int) -> int:
        """The number of the stretch of days that holds a day."""
        return max(0, day - self.home.start) // STRETCH

    def near(self, chore: str, person: str | None, until: int) -> list[PlainWindow]:
        """The windows of a row that begin by a day, kept in mind."""
        key = chore, person, until
        if key not in self._near:
            self._near[key] = self.windows(chore, person, until)
        return self._near[key]

    def period(self, line: PlainLine) -> float:
        """The days from one window of a line to the next, in the long run."""
        return period_of(line.cadence, self.home.week)

    # ------------------------------------------------------------------ turns

    def who(self, number: int, window: PlainWindow) -> tuple[str, ...]:
        """Who does the window of a chore that is the `number`th, counted from 0."""
        line = window.line
        if line.form != "then":
            return line.people
        home, days = self.home, range(window.first, window.last + 1)
        for step in range(len(line.people)):
            person = line.people[(number + step) % len(line.people)]
            if any(home.is_there(person, day) for day in days):
                return (person,)
        return (line.people[number % len(line.people)],)

    # ------------------------------------------------------------------ limits

    def limit(self, day: int) -> int | None:
        """The minutes that a day holds; None for any number."""
        if self.home.is_away(None, day):
            return 0
        own = self._limit_of([""], day)
        there = [person for person in self.home.people if self.home.is_there(person, day)]
        shares = [self.limit_of(person, day) for person in there]
        sums = [sum(share for share in shares if share is not None)]
        limits = [own, *(sums if shares and None not in shares else [])]
        return min((one for one in limits if one is not None), default=None)

    def limit_of(self, person: str, day: int) -> int | None:
        """The minutes that are fair to ask of a person on a day; None for any number."""
        plain = [
            one.minutes.value
            for one in self.home.limit_lines
            if one.who.value == person and one.kind is None and person in self.home.people
        ]
        found = self._limit_of([person], day)
        return found if found is not None else min(plain, default=None)

    def _limit_of(self, who: Sequence[str], day: int) -> int | None:
        """Named days come before a day's name, and that before the kind of day."""
        home, weekday = self.home, date.fromordinal(day).weekday()
        kinds: list[tuple[str, int]] = []
        for one in home.limit_lines:
            if one.kind is None and one.who.value not in home.people:
                kinds += [(one.who.value, one.minutes.value)] if who == [""] else []
            elif one.kind is not None and [one.who.value] == list(who):
                kinds.append((one.kind.value, one.minutes.value))
        named = [n for kind, n in kinds if kind in home.named and home.is_named(kind, day)]
        if named:
            return min(named)
        general = "weekend" if weekday in home.week.weekend else "weekday"
        for wanted in (DAYS[weekday], general):
            for kind, minutes in kinds:
                if kind == wanted:
                    return minutes
        return None


def _settled(windows: Sequence[PlainWindow]) -> list[PlainWindow]:
    """Windows of several lines made one row of them, apart and in order.

    Each ends the day before the next begins. Of those that begin on one day the one that ends
    first stays; of equal ones the first in the book.
    """
    shortest: dict[int, PlainWindow] = {}
    for window in sorted(windows, key=lambda one: (one.first, one.last, one.line.place)):
        shortest.setdefault(window.first, window)
    row = [shortest[first] for first in sorted(shortest)]
    following = [*(window.first for window in row[1:]), LAST_DAY + 1]
    return [
        window._replace(last=min(window.last, end - 1))
        for window, end in zip(row, following, strict=False)
    ]

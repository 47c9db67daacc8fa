"""What a book means, worked out again from the rules: windows, the list of a day, what became.

It goes day by day and line by line, without any thought of time. Dates come from dateutil; of the
product only `ledger.text` is used: what a line says.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from simulated_calendar import STRETCH, PlainCalendar, PlainWindow
from simulated_home import Home, nodes_of, parted
from simulated_rows import AfterDoneRow, CalendarRow, Fate, Row, Said, Standing

from ledger.text.tree import RecordLine


class Listed(NamedTuple):
    """A chore that a day's list shows."""

    chore: str
    person: str | None
    """Whose own window it is; None where a chore has one row of windows."""
    first: int
    last: int
    late: int
    """Days late; 0 while it is in time."""
    left: int
    """Minutes left of it."""
    who: tuple[str, ...]
    """Who does it: those named, or the one whose turn it is; none for anyone."""
    spare: bool


class Taken(NamedTuple):
    """What a line of the record did to one row of a chore."""

    line: int
    chore: str
    person: str | None
    window: int | None
    """First day of the window it took, as the calendar gives it; None for an extra."""


class Timing(NamedTuple):
    """A timed `did`: its own minutes, and those worked before on what it settled."""

    line: int
    minutes: int


@lru_cache(maxsize=256)
def calendar_of(routine: str, start: int) -> PlainCalendar:
    """The calendar of a routine, kept in mind from one day to the next."""
    return PlainCalendar(Home(routine, start))


Rows = dict[str | None, Row]
Kept = tuple[Rows, list[Taken]]


@lru_cache(maxsize=4096)
def _kept(calendar: PlainCalendar, chore: str, record: tuple[Said, ...], stretch: int) -> Kept:
    """The rows of a chore after all lines about it, and what each of them took."""
    day = calendar.home.start + stretch * STRETCH
    line = calendar.home.lines[chore][0]
    rows: Rows = {}
    for person in calendar.home.rows(chore):
        if line.cadence.kind == "after-done":
            rows[person] = AfterDoneRow(calendar, line, person)
        else:
            rows[person] = CalendarRow(calendar, chore, person, day)
    taken = [
        Taken(said.number, chore, person, rows[person].take(said))
        for said in record
        for person in _touched(rows, said)
    ]
    return rows, taken


class PlainBook:
    """A sound book, read without any of what the product knows of households."""

    def __init__(self, text: str, today: int) -> None:
        routine, record = parted(text)
        said = [node for node in nodes_of(record) if isinstance(node, RecordLine)]
        self.record = sorted(said, key=lambda one: one.date.value)
        start = self.record[0].date.value if self.record else today
        self.calendar = calendar_of(routine, start)
        self.home = self.calendar.home
        self.start = self.home.start
        self.people = self.home.people
        self.lines = self.home.lines

    # ------------------------------------------------------------------ calendar

    def on_calendar(self) -> list[str]:
        """The chores that do not hang on when they were done."""
        return [chore for chore in self.lines if not self.is_after_done(chore)]

    def is_after_done(self, chore: str) -> bool:
        """True for a chore of `N days after done`."""
        return self.lines[chore][0].cadence.kind == "after-done"

    def rows(self, chore: str) -> list[str | None]:
        """Whose windows a chore has: those of each person, or one row of all."""
        return self.home.rows(chore)

    def windows(self, chore: str, person: str | None, until: int) -> list[PlainWindow]:
        """All windows of a row that begin by a day, in order."""
        return self.calendar.windows(chore, person, until)

    def around(self, chore: str, person: str | None, day: int) -> list[PlainWindow]:
        """All windows of a row up to a day, and those after it that matching may look at."""
        return self.calendar.around(chore, person, day)

    # ------------------------------------------------------------------ record

    def said(self, chore: str, on: int) -> Iterable[Said]:
        """What the record says of a chore by a day, in order of date and then of line."""
        for number, line in enumerate(self.record):
            if line.date.value > on:
                return
            entry = line.entry
            for item in entry.items:
                if item.name.value == chore:
                    minutes = item.minutes.value if item.minutes else None
                    people = tuple(name.value for name in entry.people)
                    to = entry.to.value if entry.to else None
                    yield Said(number, line.date.value, entry.verb, minutes, people, to)
                    break

    def kept(self, chore: str, on: int, until: int = 0) -> Kept:
        """The rows of a chore after all lines up to a day, and what each line took."""
        stretch = self.calendar.stretch(max(on, until))
        return _kept(self.calendar, chore, tuple(self.said(chore, on)), stretch)

    def matched(
        self, chore: str, person: str | None, on: int, until: int = 0
    ) -> tuple[list[Fate], list[int]]:
        """What became of each window of a row by a day, of those up to a later day too, and the
        lines that found none."""
        row = self.kept(chore, on, until)[0][person]
        return row.fates(on), row.extras

    def standing(self, chore: str, person: str | None, on: int) -> Standing | None:
        """The window of a row that is owed on a day, asked or not."""
        return self.kept(chore, on)[0][person].standing(on)

    def listed(self, day: int) -> list[Listed]:
        """What the list of a day shows: what is owed and asked."""
        found = []
        for chore in self.lines:
            for person, row in self.kept(chore, day)[0].items():
                one = row.standing(day)
                if one is not None and one.is_asked:
                    who = (person,) if person is not None else one.who
                    found.append(
                        Listed(
                            chore, person, one.first, one.last, one.late, one.left, who, one.spare
                        )
                    )
        return found

    def timings(self, chore: str, on: int) -> list[Timing]:
        """The timed lines of a chore, each with what was worked before on the windows it settled;
        each line that worked counts once."""
        rows, _ = self.kept(chore, on)
        fates = [fate for row in rows.values() for fate in row.fates(on)]
        found = []
        for said in self.said(chore, on):
            if said.verb == "did" and said.minutes is not None:
                before = {one for fate in fates if fate.line == said.number for one in fate.worked}
                found.append(Timing(said.number, said.minutes + sum(n for _, n in before)))
        return found


def _touched(rows: Rows, said: Said) -> list[str | None]:
    """The rows that a line speaks of: those of the people it names; of what is not done, where it
    names nobody, those that the list shows, or all if it shows none."""
    if None in rows:
        return [None]
    if said.people:
        return [person for person in rows if person in said.people]
    if said.verb == "did":
        return list(rows)
    standings = {person: row.standing(said.day) for person, row in rows.items()}
    shown = [person for person, one in standings.items() if one is not None and one.is_asked]
    return shown or list(rows)

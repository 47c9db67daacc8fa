"""What a calendar of a book shows, worked out from the simulator, which shares no code with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import islice
from typing import NamedTuple

from simulated_calendar import FAR
from simulated_home import LAST_DAY, Home, nodes_of, parted
from simulated_keeping import PlainBook
from simulated_rows import Row, Slot

from ledger.text.cadences import write_cadence
from ledger.text.clauses import ChoreLine, SectionHeader


class Shown(NamedTuple):
    """A window that a calendar shows."""

    container: str
    """What its container is called."""
    chore: str
    """Its name."""
    day: int
    """The day on which it comes out: the first one on which it is asked."""
    first: int
    last: int
    people: frozenset[str]
    """Who does it: those named who are there, or the one whose turn it is; none for anyone."""
    is_alone: bool
    """True if it keeps to no other chore of its container, since it hangs on the record."""


def shown(text: str, on: int, high: int, reader: str | None = None) -> list[Shown]:
    """What a calendar that is made on a day shows up to another day: the windows that are to be
    done, as the record has them by then. With a `reader`, what it shows of that person."""
    book, titles = PlainBook(text, on), containers(text)
    found = (
        _shown(_Window(book.home, person, row, slot, on), chore, titles, reader)
        for chore in book.lines
        for person, row in book.kept(chore, on, high)[0].items()
        for slot in row.to_do(on)
        if slot.first <= high
    )
    return [one for one in found if one is not None]


class _Window(NamedTuple):
    """A window that is to be done, as the record has it by a day."""

    home: Home
    person: str | None
    row: Row
    slot: Slot
    on: int

    @property
    def is_late(self) -> bool:
        """True if it should have been done before the day."""
        return self.slot.last < self.on

    def asked(self) -> list[int]:
        """The days of a calendar on which it is asked. What is late is no part of it, but for what
        comes round no more by itself: that is put on the first day from then on that is asked."""
        line = self.slot.window.line
        days = range(self.slot.first, self.slot.last + 1)
        if self.is_late:
            days = range(self.on, min(self.on + FAR, line.last, LAST_DAY) + 1)
        asked = (day for day in days if self.row.is_asked(self.slot, day))
        if not self.is_late:
            return list(asked)
        return list(islice(asked, line.cadence.kind in ("once", "after-done")))

    def can(self, person: str, day: int) -> bool:
        """True if a person is there on a day for it."""
        return self.home.is_there(person, day, self.slot.window.line.vital)

    def people(self, days: Iterable[int]) -> tuple[str, ...]:
        """Who does it: of several of whom any may, those who are there on one of the days."""
        if self.person is not None:
            return (self.person,)
        people = self.row.calendar.who(self.slot.number, self.slot.window)
        if self.slot.window.line.form != "any":
            return people
        return tuple(one for one in people if any(self.can(one, day) for day in days)) or people


def _shown(
    window: _Window, chore: str, titles: Mapping[int, str], reader: str | None
) -> Shown | None:
    days, slot = window.asked(), window.slot
    people = window.people(days)
    if reader is not None:
        if people and reader not in people:
            return None
        days = [day for day in days if window.can(reader, day)]
    if not days:
        return None
    first, last = days[0] if window.is_late else slot.first, max(days[0], slot.last)
    line = slot.window.line
    is_alone = line.cadence.kind == "after-done"
    return Shown(titles[line.place], chore, days[0], first, last, frozenset(people), is_alone)


def chore_titles(text: str) -> dict[str, str]:
    """What each chore is called: the first title that is given, else its name."""
    found: dict[str, str] = {}
    lines = [node for node in nodes_of(parted(text)[0]) if isinstance(node, ChoreLine)]
    for line in sorted(lines, key=lambda line: line.title is None):
        title = line.title.value if line.title else line.name.value.replace("-", " ")
        found.setdefault(line.name.value, title)
    return found


def containers(text: str) -> dict[int, str]:
    """What the container of a chore line is called, by the place of the line."""
    found, title = {}, ""
    for place, node in enumerate(nodes_of(parted(text)[0])):
        if isinstance(node, SectionHeader):
            title = node.title.value if node.title else ""
            title = title or write_cadence(node.cadence.value)
        found[place] = title
    return found

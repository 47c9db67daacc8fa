"""Calendar entries: what a calendar tells, as plain data."""

from __future__ import annotations

from datetime import date
from typing import Literal, NamedTuple

from ledger.household.model import Span
from ledger.report.task import Caution, cautions_for


class Until(NamedTuple):
    """Until when a window lasts, told so that it is true of all windows alike."""

    kind: Literal["day", "weekday", "month", "days", "date"]
    """`day`: it is one day. `weekday`: to the next such day. `month`: to the end of the month.
    `days`: so many days. `date`: to that day and no other."""
    value: int = 0
    """The weekday, 0 for Monday; how many days; or the ordinal of the date."""


class CalendarLine(NamedTuple):
    """A chore of an entry."""

    chore: str
    title: str
    minutes: int | None
    """Minutes it should take each of those who do it, as the book says."""
    areas: tuple[str, ...]
    """Titles of its areas."""
    form: str
    """How its people share it: `any`, `then`, `together` or `each`."""
    people: tuple[str, ...]
    """Those who do it: of `any` those of them who are there, of `then` the one whose turn it is.
    Empty for anyone."""
    shares: int
    """How many people's minutes count."""
    vital: bool
    spare: bool
    until: Until
    moved: bool
    """True if the record put it on this day."""
    late: date | None
    """The last day of its window, if that is past."""
    again: int | None
    """So many days after it is done it comes round again, if that depends on it."""
    after: tuple[str, ...]
    """Chores that come before it on the same day."""
    things: tuple[str, ...]
    steps: tuple[str, ...]

    @property
    def total(self) -> int:
        """The minutes that it adds to its entry; a spare one adds none."""
        return 0 if self.spare else (self.minutes or 0) * self.shares


class CalendarEntry(NamedTuple):
    """Times at which the same chores come round: what a calendar shows as one thing that
    recurs."""

    container: str
    """What their container is called."""
    chore: str | None
    """The name of its chore, where an entry tells of one chore; None for a container."""
    apart: tuple[str, ...]
    """What sets it apart from the other entries of its container or chore, such as a chore that it
    lacks. The same in all exports of a book, whatever their first day."""
    comes_once: bool
    """True where the book knows one time of it at most: for `once` and `after done`."""
    lines: tuple[CalendarLine, ...]
    spans: tuple[Span, ...]
    """First and last day of each time, as ordinals; of a container the first day is that on which
    it comes out."""

    @property
    def minutes(self) -> int:
        """Minutes of its chores together, as the book says."""
        return sum(line.total for line in self.lines)

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """The cautions of the things that its chores use, each once."""
        return cautions_for(tuple(thing for line in self.lines for thing in line.things))


class Calendar(NamedTuple):
    """The entries from one day to another."""

    household: str | None
    first: date
    last: date
    week_start: int
    person: str | None
    area: str | None
    only: str | None
    """The container that it keeps to."""
    by_chore: bool
    """True where each entry tells of one chore over its window, not of a container on its day."""
    entries: tuple[CalendarEntry, ...]
    """In the order of the book."""

    @property
    def hanging(self) -> int:
        """How many chores come round again when they are done, so that only their next window is
        here."""
        lines = (line for entry in self.entries for line in entry.lines)
        return len({line.chore for line in lines if line.again is not None})

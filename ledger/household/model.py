"""The household: people, areas, limits, containers, chores and the record, names resolved.

Days are proleptic Gregorian ordinals; minutes are whole. Equality ignores places.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, NamedTuple, TypeVar

from ledger.household.record import Log
from ledger.text.parts import Cadence, DayItem
from ledger.text.source import TextRange, equal_but_for

T = TypeVar("T")


@equal_but_for("place")
class Named(NamedTuple):
    """A person or an area."""

    name: str
    title: str
    place: TextRange


Span = tuple[int, int]
"""First and last day, both included, as ordinals."""


class DayCadence(NamedTuple):
    """Named days that a cadence gives, from the first to the last day that the line names."""

    cadence: Cadence
    within: int | None
    first: int | None
    last: int | None


@equal_but_for("place")
class NamedDays(NamedTuple):
    """Days with a name: all lines of the name together."""

    name: str
    title: str
    spans: tuple[Span, ...]
    """An open span lasts to the last day of the calendar."""
    cadences: tuple[DayCadence, ...]
    place: TextRange


@equal_but_for("place")
class Absence(NamedTuple):
    """Days on which people are away or rest; with no people named, the whole household."""

    keyword: str
    """away or rest."""
    spans: tuple[Span, ...]
    names: tuple[str, ...]
    """Named days, instead of spans."""
    people: tuple[str, ...]
    title: str
    place: TextRange


class LimitOf(NamedTuple):
    """Whose minutes a limit counts, and on which days."""

    person: str | None
    """None is the household."""
    kind: str | None
    """A day's name, `weekday`, `weekend` or named days; None is any day."""


@equal_but_for("place")
class Limit(NamedTuple):
    """Minutes that fit in a day."""

    of: LimitOf
    minutes: int
    place: TextRange


DayList = frozenset[DayItem]
"""A list of days: a day belongs to it if it belongs to one of the items."""


@equal_but_for("place")
class Section(NamedTuple):
    """A container: chores that come round together."""

    cadence: Cadence
    title: str | None
    during: DayList
    excepted: DayList
    within: int | None
    """Days of a window, where the header says so."""
    first: int | None
    last: int | None
    vital: bool
    expires: bool
    spare: bool
    paused: bool
    place: TextRange

    @property
    def is_after_done(self) -> bool:
        """True if the record decides its windows, not the calendar."""
        return self.cadence.is_after_done

    @property
    def lacks_from(self) -> bool:
        """True if it needs a `from` and has none: its days are unknown, so it is paused."""
        return self.cadence.needs_from and self.first is None


class Assignment(NamedTuple):
    """Who does a chore: `any` of the people, by turns (`then`), all of them `together`, or `each`
    their own share.

    `any` of no people is anyone.
    """

    form: str
    people: tuple[str, ...]

    @property
    def shares(self) -> int:
        """By how many people it is done in a window: each their own, or all together."""
        return max(1, len(self.people)) if self.form in ("each", "together") else 1


ANYONE = Assignment("any", ())


@equal_but_for("place", "name_place")
class Routine(NamedTuple):
    """One line of the routine: a chore in one section, with the dates it is in force."""

    section: Section
    minutes: int | None
    areas: tuple[str, ...]
    assignment: Assignment
    things: tuple[str, ...]
    after: tuple[str, ...]
    during: tuple[DayList, ...]
    """The lists of its section and its own: it is in force on days that all of them hold."""
    excepted: DayList
    """It is not in force on these."""
    first: int | None
    """First day in force, from the line or its section; None is the book's start."""
    last: int | None
    vital: bool
    """Asked on days of rest too."""
    expires: bool
    """Missed, not late, if it is not done on its days."""
    spare: bool
    """Never late and never missed."""
    paused: bool
    steps: tuple[str, ...]
    is_for_everyone: bool
    """True where it says `by each` and names nobody: the people are all that are declared."""
    place: TextRange
    name_place: TextRange

    @property
    def falls(self) -> Hashable:
        """What decides a line's days, whoever is there: equal values mean the same days."""
        header = self.section.cadence, self.section.within, self.section.first
        return header, self.during, self.excepted, self.first, self.last, self.paused

    @property
    def is_kept_to_days(self) -> bool:
        """True if a list of days limits it, besides its dates."""
        return bool(self.during or self.excepted)

    @property
    def shares(self) -> int:
        """By how many people it is done in a window."""
        return self.assignment.shares


class Chore(NamedTuple):
    """A chore with all its lines of the routine, in the order of the book."""

    name: str
    title: str
    routines: tuple[Routine, ...]

    @property
    def steps(self) -> tuple[str, ...]:
        """The steps of its first line that has any."""
        return next((line.steps for line in self.routines if line.steps), ())

    @property
    def is_after_done(self) -> bool:
        """True if the record decides its windows; it then has a single line."""
        return any(line.section.is_after_done for line in self.routines)


@dataclass(frozen=True)
class Household:
    """Everything that a set of books says, names resolved."""

    title: str | None = None
    since: int | None = None
    week_start: int = 0
    """Weekday on which a week begins, 0 is Monday (ISO 8601)."""
    weekend: tuple[int, ...] = (5, 6)
    """Weekdays of the weekend, in a row."""
    day_ends: int = 0
    """Minutes after midnight that still belong to the day before."""
    people: Mapping[str, Named] = field(default_factory=dict)
    areas: Mapping[str, Named] = field(default_factory=dict)
    named_days: Mapping[str, NamedDays] = field(default_factory=dict)
    limits: Mapping[LimitOf, Limit] = field(default_factory=dict)
    absences: tuple[Absence, ...] = ()
    sections: tuple[Section, ...] = ()
    chores: Mapping[str, Chore] = field(default_factory=dict)
    log: Log = field(default_factory=Log)
    as_of: int | None = field(default=None, compare=False)
    """What day it is; None until `on` sets it."""
    memory: dict[Hashable, Any] = field(init=False, default_factory=dict, compare=False, repr=False)
    """What the folders above have worked out about this household; a changed one begins anew."""

    def on(self, today: int) -> Household:
        """The household with its `today` set."""
        return self if self.as_of == today else replace(self, as_of=today)

    @property
    def today(self) -> int:
        """What day it is. Whoever loads a household sets it by `on`."""
        assert self.as_of is not None, "nobody has said what day it is"
        return self.as_of

    @property
    def start(self) -> int:
        """First day of the book: its `since`, else the first line of the record, else today."""
        if self.since is not None:
            return self.since
        return self.log.dates[0] if self.log.dates else self.today

    def remember(self, key: Hashable, work_out: Callable[[], T]) -> T:
        """What was worked out under a key, or else is worked out now."""
        if key not in self.memory:
            self.memory[key] = work_out()
        known: T = self.memory[key]
        return known

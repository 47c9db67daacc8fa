"""The household: people, areas, limits, containers, chores and the record, names resolved.

Days are proleptic Gregorian ordinals; minutes are whole minutes. Places do not take part
in equality.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import NamedTuple

from ledger.household.away import Away
from ledger.text.source import Source, TextRange
from ledger.text.tree import Cadence, RecordEntry

DATE_WIDTH = 10


@dataclass(frozen=True)
class Named:
    """A person or an area."""

    name: str
    title: str
    place: TextRange = field(compare=False, repr=False)


@dataclass(frozen=True)
class Absence:
    """Days away, first to last; of nobody named, the whole household."""

    first: int
    last: int
    people: tuple[str, ...]
    title: str
    place: TextRange = field(compare=False, repr=False)


@dataclass(frozen=True)
class Limit:
    """Minutes that fit in a day; `who` is a day's name, weekday, weekend, or a person."""

    who: str
    minutes: int
    place: TextRange = field(compare=False, repr=False)


@dataclass(frozen=True)
class Section:
    """A container: chores that come round together."""

    cadence: Cadence
    title: str | None
    during: tuple[int, int] | None
    """First and last month of the season, 1 to 12."""
    within: int | None
    """Days of a window, where the header says so."""
    first: int | None
    last: int | None
    paused: bool
    place: TextRange = field(compare=False, repr=False)

    @property
    def is_after_done(self) -> bool:
        """True where its windows follow from the record, and not from the calendar."""
        return self.cadence.is_after_done

    @property
    def lacks_from(self) -> bool:
        """True where nobody can tell on which days it falls: it is read as paused."""
        return self.cadence.needs_from and self.first is None


class Assignment(NamedTuple):
    """Who does a chore: `any` of the people, in turn (`then`), `each` their own; or anyone."""

    form: str
    people: tuple[str, ...]


ANYONE = Assignment("any", ())


@dataclass(frozen=True)
class Routine:
    """One line of the routine: a chore as one section has it, over the dates it is in force."""

    section: Section
    minutes: int | None
    areas: tuple[str, ...]
    assignment: Assignment
    things: tuple[str, ...]
    after: tuple[str, ...]
    first: int | None
    """First day in force, from the line or its section; None is the book's start."""
    last: int | None
    paused: bool
    place: TextRange = field(compare=False, repr=False)
    name_place: TextRange = field(compare=False, repr=False)

    @property
    def falls(self) -> Hashable:
        """All of a line that its days hang on, but for who is away: lines with one and the same
        fall on the same days."""
        header = self.section.cadence, self.section.during, self.section.within, self.section.first
        return header, self.first, self.last, self.paused

    @property
    def shares(self) -> int:
        """How many times it is done each time: once, or once by each."""
        return max(1, len(self.assignment.people)) if self.assignment.form == "each" else 1


class Chore(NamedTuple):
    """A chore: all its lines of the routine, in the order of the book."""

    name: str
    title: str
    routines: tuple[Routine, ...]


_FEW = 8
"""Chores of a line that are looked through as quickly as looked up."""


def _timed(entry: RecordEntry) -> Mapping[str, Sequence[int]]:
    found: dict[str, list[int]] = {}
    for item in entry.items:
        if item.minutes is not None:
            found.setdefault(item.name.value, []).append(item.minutes.value)
    return found


def _adder(lists: list[list[int]]) -> Callable[[int], None]:
    """Adds a position to several lists; a chore that a line names twice gets it once."""
    different = list({id(one): one for one in lists}.values())

    def add(position: int) -> None:
        for one in different:
            one.append(position)

    return add


@dataclass(frozen=True)
class Log:
    """The record of the household in order of date, as columns of equal length.

    Within a date lines keep the order of their files by name, and of their lines.
    """

    dates: Sequence[int] = ()
    entries: Sequence[RecordEntry] = ()
    """Equal lines share one entry."""
    kinds: Mapping[int, RecordEntry] = field(default_factory=dict, compare=False, repr=False)
    """Each different entry once, by its `id`."""
    files: Sequence[int] = field(default=(), compare=False, repr=False)
    """Index into `sources`."""
    lines: Sequence[int] = field(default=(), compare=False, repr=False)
    """Line numbers, counted from 0."""
    sources: Sequence[Source] = field(default=(), compare=False, repr=False)
    cut: Set[int] = field(default=frozenset(), compare=False, repr=False)
    """By `id`, the entries that have lost a chore which the household does not have."""
    stories: Mapping[str, object] = field(default_factory=dict, compare=False, repr=False)
    """For each name in the record what stands for its lines; see `story`."""
    lost: Mapping[str, Set[str]] = field(default_factory=dict, compare=False, repr=False)
    """For each name in the record those that lines of it have lost."""

    def story(self, name: str) -> object:
        """What is alike in another log of the household where the lines of a chore are.

        All that they say of this chore is meant: they may stand elsewhere in log and file, and
        may have lost other chores.
        """
        return self.stories.get(name, self)

    def whole_story(self, name: str) -> object:
        """What is alike where the lines of a chore are, with all that they say of others."""
        return self.story(name), frozenset(self.lost.get(name, ()))

    @cached_property
    def named(self) -> Mapping[str, Sequence[int]]:
        """As `by_chore`, with the names that the household does not have."""
        return self.by_chore

    @cached_property
    def by_chore(self) -> Mapping[str, Sequence[int]]:
        """For each name in the record, the indices of its lines in order."""
        index: dict[str, list[int]] = {}
        # What to do with a line is looked up by its entry: once for each kind, not each line.
        adders: dict[int, Callable[[int], None]] = {}
        for key, entry in self.kinds.items():
            lists = [index.setdefault(item.name.value, []) for item in entry.items]
            adders[key] = lists[0].append if len(lists) == 1 else _adder(lists)
        for position, add in enumerate(map(adders.__getitem__, map(id, self.entries))):
            add(position)
        return index

    @cached_property
    def moves(self) -> Mapping[str, Sequence[int]]:
        """For each name that was ever moved, the days of those lines in order."""
        index: dict[str, list[int]] = {}
        # A line that moves a chore nobody has is left without one.
        moved = {
            entry.items[0].name.value for entry in self.kinds.values() if entry.to and entry.items
        }
        for name in moved:
            positions = (i for i in self.by_chore.get(name, ()) if self.entries[i].to)
            index[name] = [self.dates[position] for position in positions]
        return index

    def with_line(self, day: int, entry: RecordEntry) -> tuple[Log, int]:
        """The record with one more line below those of its day, and the index of that line."""
        at = bisect_right(self.dates, day)
        columns: list[list[int]] = [
            [*column[:at], new, *column[at:]]
            for column, new in ((self.dates, day), (self.files, 0), (self.lines, 0))
        ]
        dates, files, lines = columns
        entries = [*self.entries[:at], entry, *self.entries[at:]]
        return Log(dates, entries, {**self.kinds, id(entry): entry}, files, lines, self.sources), at

    def without(
        self, chores: Set[str], instead: Mapping[int, RecordEntry], lines: Iterable[int]
    ) -> Log:
        """The record with none of some chores; `instead` has by `id` what their entries become,
        and `lines` are the indices of those entries."""
        entries = list(self.entries)
        for index in lines:
            entries[index] = instead[id(entries[index])]
        kinds = {key: entry for key, entry in self.kinds.items() if key not in instead}
        kinds.update((id(entry), entry) for entry in instead.values())
        left = Log(
            self.dates,
            entries,
            kinds,
            self.files,
            self.lines,
            self.sources,
            set(map(id, instead.values())),
            self.stories,
            self._lost(chores, instead),
        )
        # The lines stay where they are, and so do those of the other chores.
        left.__dict__["named"] = self.by_chore
        for index_of in ("by_chore", "moves"):
            known = getattr(self, index_of)
            left.__dict__[index_of] = {n: some for n, some in known.items() if n not in chores}
        return left

    def _lost(self, chores: Set[str], instead: Iterable[int]) -> dict[str, set[str]]:
        """For each name in some kinds of lines those among some chores that they name."""
        lost: dict[str, set[str]] = {}
        for key in instead:
            names = {item.name.value for item in self.kinds[key].items}
            for name in names:
                lost.setdefault(name, set()).update(names & chores)
        return lost

    def minutes(self, index: int, chore: str) -> Sequence[int]:
        """The minutes that a line gives of a chore, as often as it names it with some."""
        entry = self.entries[index]
        if len(entry.items) <= _FEW:
            return _timed(entry).get(chore, ())
        # A line of a thousand chores is asked for by each of them.
        if id(entry) not in self._long:
            self._long[id(entry)] = _timed(entry)
        return self._long[id(entry)].get(chore, ())

    @cached_property
    def _long(self) -> dict[int, Mapping[str, Sequence[int]]]:
        """What `minutes` has found of lines that name many chores."""
        return {}

    def place(self, index: int) -> TextRange:
        """Where a line of the record stands, its date marked."""
        return TextRange(self.sources[self.files[index]], self.lines[index], 0, DATE_WIDTH)


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
    limits: Mapping[str, Limit] = field(default_factory=dict)
    absences: tuple[Absence, ...] = ()
    sections: tuple[Section, ...] = ()
    chores: Mapping[str, Chore] = field(default_factory=dict)
    log: Log = field(default_factory=Log)
    as_of: int | None = field(default=None, compare=False)
    """The day on which it is looked at; None until `on` says which."""

    def on(self, today: int) -> Household:
        """The household as it is looked at on a day."""
        return self if self.as_of == today else replace(self, as_of=today)

    @property
    def today(self) -> int:
        """The day on which it is looked at, which whoever loads a household says by `on`."""
        assert self.as_of is not None, "nobody has said what day it is"
        return self.as_of

    @property
    def start(self) -> int:
        """First day of the book: its `since`, else the first line of the record, else today."""
        if self.since is not None:
            return self.since
        return self.log.dates[0] if self.log.dates else self.today

    def away(self, person: str | None = None) -> Away:
        """The days on which the whole household is away, or a person too."""
        lines, known = self._away_lines
        # One who has no line of their own is away when the household is.
        person = person if person in lines else None
        if person not in known:
            numbers = sorted({*lines[None], *lines[person]})
            absences = map(self.absences.__getitem__, numbers)
            known[person] = Away((one.first, one.last, one.title) for one in absences)
        return known[person]

    @cached_property
    def _away_lines(self) -> tuple[Mapping[str | None, Sequence[int]], dict[str | None, Away]]:
        """For each person with days away, and for the household, the places of their absences;
        and what `away` has made of them."""
        lines: dict[str | None, list[int]] = {None: []}
        for number, absence in enumerate(self.absences):
            for person in absence.people or (None,):
                lines.setdefault(person, []).append(number)
        return lines, {}

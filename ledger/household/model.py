"""The household: people, areas, limits, containers, chores and the record, names resolved.

Days are proleptic Gregorian ordinals; minutes are whole. Equality ignores places.
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
    """Days away, first to last; with no people named, of the whole household."""

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
        """True if the record decides its windows, not the calendar."""
        return self.cadence.is_after_done

    @property
    def lacks_from(self) -> bool:
        """True if it needs a `from` and has none: its days are unknown, so it is paused."""
        return self.cadence.needs_from and self.first is None


class Assignment(NamedTuple):
    """Who does a chore: `any` of the people, by turns (`then`), or `each` their own share.

    `any` of no people is anyone.
    """

    form: str
    people: tuple[str, ...]


ANYONE = Assignment("any", ())


@dataclass(frozen=True)
class Routine:
    """One line of the routine: a chore in one section, with the dates it is in force."""

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
        """What decides a line's days, days away left out: equal values mean the same days."""
        header = self.section.cadence, self.section.during, self.section.within, self.section.first
        return header, self.first, self.last, self.paused

    @property
    def shares(self) -> int:
        """How often it is done in a window: once, or once by each person."""
        return max(1, len(self.assignment.people)) if self.assignment.form == "each" else 1


class Chore(NamedTuple):
    """A chore with all its lines of the routine, in the order of the book."""

    name: str
    title: str
    routines: tuple[Routine, ...]


_FEW = 8
"""Up to this many chores in a line, a scan is as quick as a lookup."""


def _timed(entry: RecordEntry) -> Mapping[str, Sequence[int]]:
    by_chore: dict[str, list[int]] = {}
    for item in entry.items:
        if item.minutes is not None:
            by_chore.setdefault(item.name.value, []).append(item.minutes.value)
    return by_chore


def _adder(lists: list[list[int]]) -> Callable[[int], None]:
    """Adds a position to several lists, once even if a line names a chore twice."""
    distinct = list({id(positions): positions for positions in lists}.values())

    def add(position: int) -> None:
        for positions in distinct:
            positions.append(position)

    return add


@dataclass(frozen=True)
class Log:
    """The record of the household in order of date, as columns of equal length.

    Lines of one date are in order of file name, then of line number.
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
    """The `id`s of entries without a chore that was left out as unknown."""
    stories: Mapping[str, object] = field(default_factory=dict, compare=False, repr=False)
    """For each name in the record a token of its lines; see `story`."""
    lost: Mapping[str, Set[str]] = field(default_factory=dict, compare=False, repr=False)
    """For each name in the record the unknown chores left out of its lines."""

    def story(self, name: str) -> object:
        """A token of a chore's lines: equal in two logs of the household if the lines are.

        Only what they say of this chore counts: they may have moved in log and file, and other
        chores may be left out.
        """
        return self.stories.get(name, self)

    def whole_story(self, name: str) -> object:
        """As `story`, but what the lines say of other chores counts too."""
        return self.story(name), frozenset(self.lost.get(name, ()))

    @cached_property
    def named(self) -> Mapping[str, Sequence[int]]:
        """As `by_chore`, with unknown names too."""
        return self.by_chore

    @cached_property
    def by_chore(self) -> Mapping[str, Sequence[int]]:
        """For each name in the record, the indices of its lines in order."""
        index: dict[str, list[int]] = {}
        # The lists are looked up once for each different entry, not for each line.
        adders: dict[int, Callable[[int], None]] = {}
        for key, entry in self.kinds.items():
            lists = [index.setdefault(item.name.value, []) for item in entry.items]
            adders[key] = lists[0].append if len(lists) == 1 else _adder(lists)
        for position, add in enumerate(map(adders.__getitem__, map(id, self.entries))):
            add(position)
        return index

    @cached_property
    def moves(self) -> Mapping[str, Sequence[int]]:
        """For each name that was ever moved, the days of its `moved` lines in order."""
        index: dict[str, list[int]] = {}
        # A line that moves an unknown chore has no items left.
        moved = {
            entry.items[0].name.value for entry in self.kinds.values() if entry.to and entry.items
        }
        for name in moved:
            positions = (i for i in self.by_chore.get(name, ()) if self.entries[i].to)
            index[name] = [self.dates[position] for position in positions]
        return index

    def with_line(self, day: int, entry: RecordEntry) -> tuple[Log, int]:
        """The record with one more line, the last of its day, and the index of that line."""
        at = bisect_right(self.dates, day)
        columns: list[list[int]] = [
            [*column[:at], new, *column[at:]]
            for column, new in ((self.dates, day), (self.files, 0), (self.lines, 0))
        ]
        dates, files, lines = columns
        entries = [*self.entries[:at], entry, *self.entries[at:]]
        return Log(dates, entries, {**self.kinds, id(entry): entry}, files, lines, self.sources), at

    def without(
        self, chores: Set[str], replacements: Mapping[int, RecordEntry], lines: Iterable[int]
    ) -> Log:
        """The record without some chores. `replacements` has the new entry for the `id` of
        each old one; `lines` are the indices of the old ones."""
        entries = list(self.entries)
        for index in lines:
            entries[index] = replacements[id(entries[index])]
        kinds = {key: entry for key, entry in self.kinds.items() if key not in replacements}
        kinds.update((id(entry), entry) for entry in replacements.values())
        remaining = Log(
            self.dates,
            entries,
            kinds,
            self.files,
            self.lines,
            self.sources,
            set(map(id, replacements.values())),
            self.stories,
            self._lost(chores, replacements),
        )
        # No line moves, so the indices of the other chores stay the same.
        remaining.__dict__["named"] = self.by_chore
        for index_of in ("by_chore", "moves"):
            known = getattr(self, index_of)
            remaining.__dict__[index_of] = {
                n: positions for n, positions in known.items() if n not in chores
            }
        return remaining

    def _lost(self, chores: Set[str], replaced: Iterable[int]) -> dict[str, set[str]]:
        """For each name in some entries, those of `chores` that stand in one entry with it."""
        lost: dict[str, set[str]] = {}
        for key in replaced:
            names = {item.name.value for item in self.kinds[key].items}
            for name in names:
                lost.setdefault(name, set()).update(names & chores)
        return lost

    def minutes(self, index: int, chore: str) -> Sequence[int]:
        """The minutes that a line gives for a chore, one figure each time it gives some."""
        entry = self.entries[index]
        if len(entry.items) <= _FEW:
            return _timed(entry).get(chore, ())
        # Each of a thousand chores may ask for the same line.
        if id(entry) not in self._long:
            self._long[id(entry)] = _timed(entry)
        return self._long[id(entry)].get(chore, ())

    @cached_property
    def _long(self) -> dict[int, Mapping[str, Sequence[int]]]:
        """What `minutes` found in lines that name many chores."""
        return {}

    def place(self, index: int) -> TextRange:
        """The place of a line of the record: its date."""
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
    """What day it is; None until `on` sets it."""

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

    def away(self, person: str | None = None) -> Away:
        """The days away of the whole household, and of a person if given."""
        lines, known = self._away_lines
        # A person without an own line is away only with the household.
        person = person if person in lines else None
        if person not in known:
            numbers = sorted({*lines[None], *lines[person]})
            absences = map(self.absences.__getitem__, numbers)
            known[person] = Away((one.first, one.last, one.title) for one in absences)
        return known[person]

    @cached_property
    def _away_lines(self) -> tuple[Mapping[str | None, Sequence[int]], dict[str | None, Away]]:
        """The indices of absences, for the household (None) and each person with some; and what
        `away` made of them."""
        lines: dict[str | None, list[int]] = {None: []}
        for number, absence in enumerate(self.absences):
            for person in absence.people or (None,):
                lines.setdefault(person, []).append(number)
        return lines, {}

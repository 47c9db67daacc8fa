"""The record of a household: its lines in order of date, as columns."""

from __future__ import annotations

from bisect import bisect_right
from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, field
from functools import cached_property
from itertools import count
from operator import call, itemgetter
from typing import TypeVar

from ledger.text.source import Source, TextRange
from ledger.text.tree import RecordEntry

T = TypeVar("T")

DATE_WIDTH = 10

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
        return self.positions(lambda entry: [item.name.value for item in entry.items])

    def positions(self, labels: Callable[[RecordEntry], Sequence[T]]) -> dict[T, list[int]]:
        """For each of the labels that `labels` gives to entries, the indices of the lines with it,
        in order."""
        index: dict[T, list[int]] = {}
        # The lists are looked up once for all entries with the same labels, and each line is added
        # without a loop in Python.
        adders: dict[tuple[T, ...], Callable[[int], None]] = {}
        of_entry: dict[int, Callable[[int], None]] = {}
        for key, entry in self.kinds.items():
            wanted = tuple(labels(entry))
            if wanted not in adders:
                lists = [index.setdefault(label, []) for label in wanted]
                adders[wanted] = lists[0].append if len(lists) == 1 else _adder(lists)
            of_entry[key] = adders[wanted]
        deque(map(call, map(of_entry.__getitem__, map(id, self.entries)), count()), maxlen=0)
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

    @cached_property
    def worked(self) -> Set[str]:
        """The names of the chores that any line says some work was done on."""
        return {
            item.name.value
            for entry in self.kinds.values()
            if entry.verb == "worked"
            for item in entry.items
        }

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

    def with_lines(self, lines: Iterable[tuple[int, RecordEntry]]) -> Log:
        """The record with more lines, each a day and an entry, the last of their days."""
        added = list(lines)
        rows = sorted(
            [
                *zip(self.dates, self.entries, self.files, self.lines, strict=True),
                *((day, entry, 0, 0) for day, entry in added),
            ],
            key=itemgetter(0),
        )
        dates, entries, files, numbers = map(list, zip(*rows, strict=True)) if rows else ([],) * 4
        kinds = {**self.kinds, **{id(entry): entry for _, entry in added}}
        return Log(dates, entries, kinds, files, numbers, self.sources)

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

"""Record changes: lines of the record that one version has and the other has not, or otherwise."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from ledger.household.model import Log
from ledger.text.tree import Entry
from ledger.text.writer import write_entry


class RecordChange(NamedTuple):
    """What became of a line of the record."""

    day: date
    kind: str
    """added, retired or changed."""
    before: str
    after: str
    """What the line said and says, without its date; empty where there is none."""


def compare_records(before: Log, after: Log) -> tuple[RecordChange, ...]:
    """The lines that differ, in order of date.

    A line that is gone and one that has come are one changed line where both say the same verb
    of the same chores on the same day.
    """
    old, new = _lines(before), _lines(after)
    gone, come = old - new, new - old
    return tuple(sorted(_changes(gone, come), key=lambda change: change.day))


def _lines(log: Log) -> Counter[tuple[int, Entry]]:
    """How often each line stands. Equal lines share one entry, so each is hashed but once."""
    numbers: dict[int, int] = {}
    kinds: dict[Entry, int] = {}
    counts: Counter[tuple[int, int]] = Counter()
    for day, entry in zip(log.dates, log.entries, strict=True):
        number = numbers.get(id(entry))
        if number is None:
            number = numbers[id(entry)] = kinds.setdefault(entry, len(kinds))
        counts[day, number] += 1
    entries = list(kinds)
    return Counter({(day, entries[number]): count for (day, number), count in counts.items()})


def _changes(
    gone: Counter[tuple[int, Entry]], come: Counter[tuple[int, Entry]]
) -> Iterator[RecordChange]:
    waiting: dict[object, list[Entry]] = {}
    for day, entry in gone.elements():
        waiting.setdefault((day, _subject(entry)), []).append(entry)
    for day, entry in come.elements():
        olds = waiting.get((day, _subject(entry)))
        when = date.fromordinal(day)
        if olds:
            yield RecordChange(when, "changed", write_entry(olds.pop(0)), write_entry(entry))
        else:
            yield RecordChange(when, "added", "", write_entry(entry))
    for key, olds in waiting.items():
        assert isinstance(key, tuple)
        for entry in olds:
            yield RecordChange(date.fromordinal(key[0]), "retired", write_entry(entry), "")


def _subject(entry: Entry) -> tuple[str, frozenset[str]]:
    return entry.verb, frozenset(item.name.value for item in entry.items)

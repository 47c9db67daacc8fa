"""Record changes: lines of the record that only one version has, or that differ."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Hashable, Iterator, Mapping, Sequence
from datetime import date
from itertools import chain
from typing import Literal, NamedTuple

from ledger.text.tree import RecordEntry, RecordItem, Tree
from ledger.text.writer import write_entry

Lines = Counter[tuple[int, str]]
"""How often each line stands: its day, and what it says."""


class RecordChange(NamedTuple):
    """What became of a line of the record."""

    day: date
    """The day of the line."""
    kind: Literal["added", "retired", "changed"]
    """What became of the line."""
    before: str
    """What the line said after its date, its names sorted; empty for one that was added."""
    after: str
    """What it says now; empty for one that is gone."""


def compare_records(
    before: Sequence[Tree], after: Sequence[Tree], renamed: Mapping[str, str]
) -> tuple[RecordChange, ...]:
    """The lines that differ, in order of date, as the files have them: unknown names count too.

    A line that is gone and a new one are one changed line where both have the same day, verb and
    chores. `renamed` has new names of chores by old ones: a line that differs only by these does
    not count.
    """
    entry_of: dict[str, RecordEntry] = {}
    old, new = Counter(_spellings(before)), Counter(_spellings(after))
    # Most lines are equal to the letter, and what they say need not be known.
    gone = _meanings(before, old - new, entry_of)
    come = _meanings(after, new - old, entry_of)
    gone, come = gone - come, come - gone
    for day, text in list(gone.elements()) if renamed else ():
        line = day, _text(_with_names(entry_of[text], renamed))
        if come[line] > 0:
            gone[day, text] -= 1
            come[line] -= 1
    return tuple(sorted(_changes(gone, come, entry_of)))


def _spellings(trees: Sequence[Tree]) -> Iterator[str]:
    """The lines of the record, as the files have them."""
    for tree in trees:
        yield from map(tree.source.lines.__getitem__, tree.record.numbers)


def _meanings(trees: Sequence[Tree], some: Counter[str], entry_of: dict[str, RecordEntry]) -> Lines:
    """What some of the lines say, as often as `some` counts them. Adds each entry to `entry_of`."""
    lines: Lines = Counter()
    records = [tree.record for tree in trees]
    days = chain.from_iterable(record.dates for record in records)
    entries = chain.from_iterable(record.entries for record in records)
    for spelling, day, entry in zip(_spellings(trees), days, entries, strict=True):
        if spelling in some:
            text = _text(entry)
            entry_of[text] = entry
            # All lines of this spelling say the same.
            lines[day, text] += some.pop(spelling)
    return lines


def _text(entry: RecordEntry) -> str:
    """What an entry says, with its names sorted: their order says nothing."""
    items = sorted(entry.items, key=lambda item: (item.name.value, _minutes(item)))
    people = sorted(entry.people, key=lambda person: person.value)
    return write_entry(entry._replace(items=tuple(items), people=tuple(people)))


def _minutes(item: RecordItem) -> int:
    return item.minutes.value if item.minutes else 0


def _with_names(entry: RecordEntry, names: Mapping[str, str]) -> RecordEntry:
    items = (
        item._replace(name=item.name._replace(value=names.get(item.name.value, item.name.value)))
        for item in entry.items
    )
    return entry._replace(items=tuple(items))


def _changes(
    gone: Lines, come: Lines, entry_of: Mapping[str, RecordEntry]
) -> Iterator[RecordChange]:
    waiting: dict[tuple[int, Hashable], deque[str]] = {}
    for day, text in sorted(gone.elements()):
        waiting.setdefault((day, _subject(entry_of[text])), deque()).append(text)
    for day, text in sorted(come.elements()):
        olds = waiting.get((day, _subject(entry_of[text])))
        when = date.fromordinal(day)
        if olds:
            yield RecordChange(when, "changed", olds.popleft(), text)
        else:
            yield RecordChange(when, "added", "", text)
    for (day, _), olds in waiting.items():
        for text in olds:
            yield RecordChange(date.fromordinal(day), "retired", text, "")


def _subject(entry: RecordEntry) -> Hashable:
    return entry.verb, frozenset(item.name.value for item in entry.items)

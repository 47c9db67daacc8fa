"""Record changes: lines of the record that one version has and the other has not, or otherwise."""

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
    """What the line said behind its date, its names in order; empty for one that was added."""
    after: str
    """What it says; empty for one that is gone."""


def compare_records(
    before: Sequence[Tree], after: Sequence[Tree], renamed: Mapping[str, str]
) -> tuple[RecordChange, ...]:
    """The lines that differ, in order of date, as they stand in the files: names that nothing
    has are compared too.

    A line that is gone and one that has come are one changed line where both say the same verb
    of the same chores on the same day. `renamed` are old names of chores with the new: a line
    that differs by them alone does not differ.
    """
    said: dict[str, RecordEntry] = {}
    old, new = Counter(_letters(before)), Counter(_letters(after))
    # Lines alike to the letter outnumber all others, and what they say need not be known.
    gone = _spoken(before, old - new, said)
    come = _spoken(after, new - old, said)
    gone, come = gone - come, come - gone
    for day, text in list(gone.elements()) if renamed else ():
        line = day, _text(_with_names(said[text], renamed))
        if come[line] > 0:
            gone[day, text] -= 1
            come[line] -= 1
    return tuple(sorted(_changes(gone, come, said)))


def _letters(trees: Sequence[Tree]) -> Iterator[str]:
    """The lines of the record to the letter."""
    for tree in trees:
        yield from map(tree.source.lines.__getitem__, tree.record.numbers)


def _spoken(trees: Sequence[Tree], some: Counter[str], said: dict[str, RecordEntry]) -> Lines:
    """What some of the lines say, as often as given; each entry is added to `said`."""
    spoken: Lines = Counter()
    records = [tree.record for tree in trees]
    days = chain.from_iterable(record.dates for record in records)
    entries = chain.from_iterable(record.entries for record in records)
    for letters, day, entry in zip(_letters(trees), days, entries, strict=True):
        if letters in some:
            text = _text(entry)
            said[text] = entry
            # Every line that is so spelt says the same.
            spoken[day, text] += some.pop(letters)
    return spoken


def _text(entry: RecordEntry) -> str:
    """What an entry says; the order of its names says nothing."""
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


def _changes(gone: Lines, come: Lines, said: Mapping[str, RecordEntry]) -> Iterator[RecordChange]:
    waiting: dict[tuple[int, Hashable], deque[str]] = {}
    for day, text in sorted(gone.elements()):
        waiting.setdefault((day, _subject(said[text])), deque()).append(text)
    for day, text in sorted(come.elements()):
        olds = waiting.get((day, _subject(said[text])))
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

"""The log: record lines of all files as one record in order of date, and their faulty names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import islice
from operator import gt

from ledger.household.model import Chore, Log
from ledger.household.names import Declarations, unknown
from ledger.text.finding import Finding
from ledger.text.source import Source
from ledger.text.tree import Entry, Tree


def log_of(
    trees: Sequence[Tree],
    declared: Declarations,
    chores: Mapping[str, Chore],
    findings: list[Finding],
) -> Log:
    """The record of all trees by date; a name that nothing has is left out, with a finding."""
    dates: list[int] = []
    entries: list[Entry] = []
    lines: list[int] = []
    files: list[int] = []
    for index, tree in enumerate(trees):
        record = tree.record
        dates += record.dates
        lines += record.numbers
        files += [index] * len(record.dates)
        entries += _resolved(tree, declared, chores, findings)
    if any(map(gt, dates, islice(dates, 1, None))):
        order = sorted(range(len(dates)), key=dates.__getitem__)
        dates, entries = [dates[i] for i in order], [entries[i] for i in order]
        lines, files = [lines[i] for i in order], [files[i] for i in order]
    return Log(dates, entries, files, lines, [tree.source for tree in trees])


def _resolved(
    tree: Tree,
    declared: Declarations,
    chores: Mapping[str, Chore],
    findings: list[Finding],
) -> list[Entry]:
    """The entries of a tree, without names that nothing in the household has.

    Equal lines share one entry, so each is looked at once however often it stands.
    """
    entries = tree.record.entries
    wrong = {
        id(entry): entry
        for entry in {id(entry): entry for entry in entries}.values()
        if any(item.name.value not in chores for item in entry.items)
        or any(person.value not in declared.people for person in entry.people)
    }
    if not wrong:
        return entries
    sound = {key: _sound(entry, declared, chores) for key, entry in wrong.items()}
    for number, entry in zip(tree.record.numbers, entries, strict=True):
        if id(entry) in wrong:
            _report(tree.source, number, entry, declared, chores, findings)
    return [sound.get(id(entry), entry) for entry in entries]


def _sound(entry: Entry, declared: Declarations, chores: Mapping[str, Chore]) -> Entry:
    return replace(
        entry,
        items=tuple(item for item in entry.items if item.name.value in chores),
        people=tuple(person for person in entry.people if person.value in declared.people),
    )


def _report(
    source: Source,
    number: int,
    entry: Entry,
    declared: Declarations,
    chores: Mapping[str, Chore],
    findings: list[Finding],
) -> None:
    for item in entry.items:
        name = item.name
        if name.value not in chores:
            line = f"    {name.value} 10 min"
            place = name.at(source, number)
            findings.append(unknown("chore", name.value, place, chores, line))
    for person in entry.people:
        if person.value not in declared.people:
            declared.person(person, source, number)

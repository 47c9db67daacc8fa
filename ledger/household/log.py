"""The log: record lines of all files as one record in order of date, and their faulty names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from dataclasses import replace
from itertools import islice
from operator import gt, is_

from ledger.household.model import Chore, Log
from ledger.household.names import Declarations, unknown
from ledger.text.finding import Finding
from ledger.text.tree import Entry, Record, Tree


class Logs:
    """Makes the log of a household, and gives the same one again where no line of it changed."""

    def __init__(self) -> None:
        self._records: list[Record] = []
        self._log: Log | None = None
        self._names: Set[str] = frozenset()
        self._people: Set[str] = frozenset()

    def of(
        self,
        trees: Sequence[Tree],
        declared: Declarations,
        chores: Mapping[str, Chore],
        findings: list[Finding],
    ) -> Log:
        """What `log_of` answers."""
        records = [tree.record for tree in trees if tree.record.numbers]
        if (
            self._log is not None
            and len(records) == len(self._records)
            and all(map(is_, records, self._records))
            and self._names <= chores.keys()
            and self._people <= declared.people.keys()
        ):
            return self._log
        met = len(findings)
        log = log_of(trees, declared, chores, findings)
        # One with names that nobody has, as when a chore is just being typed, is not kept.
        if len(findings) == met:
            self._log, self._records, self._names = log, records, log.by_chore.keys()
            self._people = {person.value for entry in log.kinds.values() for person in entry.people}
        return log


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
    # Trees of one reader share one mapping of all its entries.
    shared = {id(tree.record.kinds): tree.record.kinds for tree in trees}
    kinds = {id(entry): entry for some in shared.values() for entry in some.values()}
    wrong = _wrong(kinds, declared, chores)
    for index, tree in enumerate(trees):
        record = tree.record
        dates += record.dates
        lines += record.numbers
        files += [index] * len(record.dates)
        if wrong:
            _report(tree, wrong, declared, chores, findings)
        entries += record.entries
    if wrong:
        sound = {key: _sound(entry, chores) for key, entry in wrong.items()}
        entries = [sound.get(id(entry), entry) for entry in entries]
        kinds = {id(entry): entry for entry in entries}
    if any(map(gt, dates, islice(dates, 1, None))):
        order = sorted(range(len(dates)), key=dates.__getitem__)
        dates, entries = [dates[i] for i in order], [entries[i] for i in order]
        lines, files = [lines[i] for i in order], [files[i] for i in order]
    return Log(dates, entries, kinds, files, lines, [tree.source for tree in trees])


def _wrong(
    kinds: Mapping[int, Entry], declared: Declarations, chores: Mapping[str, Chore]
) -> dict[int, Entry]:
    """The entries that name a chore or a person whom the household does not have."""
    names = {item.name.value for entry in kinds.values() for item in entry.items}
    people = {person.value for entry in kinds.values() for person in entry.people}
    if names <= chores.keys() and people <= declared.people.keys():
        return {}
    return {
        key: entry
        for key, entry in kinds.items()
        if any(item.name.value not in chores for item in entry.items)
        or any(person.value not in declared.people for person in entry.people)
    }


def _sound(entry: Entry, chores: Mapping[str, Chore]) -> Entry:
    """The entry without unknown chores. An unknown person stays: where each does their own,
    a line of nobody in the household must not count for everybody."""
    return entry._replace(items=tuple(item for item in entry.items if item.name.value in chores))


def _report(
    tree: Tree,
    wrong: Mapping[int, Entry],
    declared: Declarations,
    chores: Mapping[str, Chore],
    findings: list[Finding],
) -> None:
    # The nearest name is looked for once: a chore that is gone may be named a thousand times.
    told: dict[str, Finding] = {}
    for number, entry in zip(tree.record.numbers, tree.record.entries, strict=True):
        if id(entry) not in wrong:
            continue
        for item in entry.items:
            name = item.name
            if name.value not in chores:
                place = name.at(tree.source, number)
                if name.value not in told:
                    add = f"{name.value} 10 min"
                    told[name.value] = unknown("chore", name.value, place, chores, add)
                findings.append(replace(told[name.value], place=place))
        for person in entry.people:
            declared.person(person, tree.source, number)

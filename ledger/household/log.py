"""The log: record lines of all files as one record in order of date, and their faulty names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence, Set
from itertools import islice
from operator import gt, is_not

from ledger.household.model import Chore, Log
from ledger.household.names import Declarations, near_to, unknown
from ledger.text.finding import Finding
from ledger.text.tree import Entry, Name, Record, Tree


class Logs:
    """Makes the log of a household, and of lines that it made one of only what is new.

    While a chore is being typed its name comes and goes; its lines of the record stay.
    """

    def __init__(self) -> None:
        self._records: list[Record] | None = None
        self._whole = Log()
        self._people: Set[str] = frozenset()
        self._keys: dict[str, list[int]] = {}
        self._known: tuple[object, ...] = ()
        self._made: tuple[Log, list[Finding]] = self._whole, []

    def of(
        self,
        trees: Sequence[Tree],
        declared: Declarations,
        chores: Mapping[str, Chore],
        findings: list[Finding],
    ) -> Log:
        """The record of all trees by date; a name that nothing has is left out, with a finding.

        The same log as before where nothing in it is another than before.
        """
        records = [tree.record for tree in trees if tree.record.numbers]
        if not _are_the_same(records, self._records):
            self._records, self._whole, self._known = records, _whole(trees), ()
            entries = self._whole.kinds.values()
            self._people = {person.value for entry in entries for person in entry.people}
            self._keys = {}
        gone = self._whole.by_chore.keys() - chores.keys()
        strangers = self._people - declared.people.keys()
        if not gone and not strangers:
            return self._whole
        # What is said of a name hangs on all the names that it could be meant for.
        known = gone, strangers, list(chores), list(declared.people)
        if known == self._known:
            findings += self._made[1]
            return self._made[0]
        met = len(findings)
        wrong = self._naming({*gone, *strangers})
        for tree in trees:
            _report(tree, wrong, declared, chores, findings)
        sound = {key: _sound(entry, chores) for key, entry in wrong.items()}
        log = self._whole.without(gone, sound) if gone else self._whole
        self._known, self._made = known, (log, findings[met:])
        return log

    def _naming(self, names: Set[str]) -> dict[int, Entry]:
        """The kinds of lines that name some chores or people."""
        kinds = self._whole.kinds
        if not self._keys:
            for key, entry in kinds.items():
                for name in {one.value for one in _names_of(entry)}:
                    self._keys.setdefault(name, []).append(key)
        return {key: kinds[key] for name in names for key in self._keys.get(name, ())}


def _are_the_same(records: list[Record], before: list[Record] | None) -> bool:
    return (
        before is not None and len(records) == len(before) and not any(map(is_not, records, before))
    )


def _whole(trees: Sequence[Tree]) -> Log:
    """The record of all trees by date, whatever it names."""
    dates: list[int] = []
    entries: list[Entry] = []
    lines: list[int] = []
    files: list[int] = []
    # Trees of one reader share one mapping of all its entries.
    shared = {id(tree.record.kinds): tree.record.kinds for tree in trees}
    kinds = {id(entry): entry for some in shared.values() for entry in some.values()}
    for index, tree in enumerate(trees):
        record = tree.record
        dates += record.dates
        lines += record.numbers
        files += [index] * len(record.dates)
        entries += record.entries
    if any(map(gt, dates, islice(dates, 1, None))):
        order = sorted(range(len(dates)), key=dates.__getitem__)
        dates, entries = [dates[i] for i in order], [entries[i] for i in order]
        lines, files = [lines[i] for i in order], [files[i] for i in order]
    return Log(dates, entries, kinds, files, lines, [tree.source for tree in trees])


def _names_of(entry: Entry) -> Iterator[Name]:
    """The names of the chores and the people of a line."""
    yield from (item.name for item in entry.items)
    yield from entry.people


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
    known = near_to(chores)
    for number, entry in zip(tree.record.numbers, tree.record.entries, strict=True):
        if id(entry) not in wrong:
            continue
        for item in entry.items:
            name = item.name
            if name.value not in chores:
                place = name.at(tree.source, number)
                if name.value not in told:
                    add = f"{name.value} 10 min"
                    told[name.value] = unknown("chore", name.value, place, known, add)
                findings.append(told[name.value].at(place))
        for person in entry.people:
            declared.person(person, tree.source, number)

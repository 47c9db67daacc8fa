"""The log: the record lines of all files in order of date, and their unknown names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence, Set
from itertools import islice
from operator import gt, is_not

from ledger.household.model import Chore
from ledger.household.names import Declarations, Stranger, near_to
from ledger.household.record import Log
from ledger.text.finding import Finding
from ledger.text.tree import Record, RecordEntry, Tree


class Logs:
    """Makes the log of a household, and later takes in only what is new.

    While a chore's name is being typed it comes and goes, but its record lines stay.
    """

    def __init__(self) -> None:
        self._records: list[Record] = []
        self._whole = Log()
        self._of_person: dict[str, set[int]] = {}
        """For each person the `id`s of entries that name them."""
        self._known: tuple[object, ...] = ()
        self._made: tuple[Log, list[Finding]] = self._whole, []

    def of(
        self,
        trees: Sequence[Tree],
        declared: Declarations,
        chores: Mapping[str, Chore],
        findings: list[Finding],
    ) -> Log:
        """The record of all trees by date. An unknown name becomes a finding; an unknown chore
        is also left out.

        If nothing changed, it is the same object as before.
        """
        self._take_up(trees)
        whole = self._whole
        gone = whole.by_chore.keys() - chores.keys()
        strangers = self._of_person.keys() - declared.people.keys()
        if not gone and not strangers:
            return whole
        # A finding names the nearest known name, so it depends on all of them.
        known = gone, strangers, list(chores), list(declared.people), declared.last_person
        if known == self._known:
            findings += self._made[1]
            return self._made[0]
        count_before = len(findings)
        cut = {index for name in gone for index in whole.by_chore[name]}
        _report(whole, trees, cut | self._lines_of(strangers), declared, chores, findings)
        log = whole
        if gone:
            kinds = {id(whole.entries[index]): whole.entries[index] for index in cut}
            sound = {key: _sound(entry, chores) for key, entry in kinds.items()}
            log = whole.without(gone, sound, cut)
        self._known, self._made = known, (log, findings[count_before:])
        return log

    def _take_up(self, trees: Sequence[Tree]) -> None:
        """Take in the records of the trees."""
        before, records = self._records, [tree.record for tree in trees]
        new = [n for n, pair in enumerate(zip(records, before, strict=False)) if is_not(*pair)]
        if len(records) == len(before) and not new:
            return
        patch = None
        if len(records) == len(before) and len(new) == 1 and self._whole.dates:
            from ledger.household.relog import relogged

            sources = [tree.source for tree in trees]
            patch = relogged(self._whole, new[0], before[new[0]], records[new[0]], sources)
        if patch is None:
            self._whole, self._of_person = _whole(trees), {}
            self._add(self._whole.kinds.values())
        else:
            self._whole = patch.log
            self._drop(patch.removed)
            self._add(patch.added)
        self._records, self._known = records, ()

    def _add(self, kinds: Iterable[RecordEntry]) -> None:
        for entry in kinds:
            for person in entry.people:
                self._of_person.setdefault(person.value, set()).add(id(entry))

    def _drop(self, kinds: Iterable[RecordEntry]) -> None:
        for entry in kinds:
            for person in {person.value for person in entry.people}:
                self._of_person[person].discard(id(entry))
                if not self._of_person[person]:
                    del self._of_person[person]

    def _lines_of(self, people: Set[str]) -> set[int]:
        """The indices of the lines that name some people."""
        whole = self._whole
        keys = {key for person in people for key in self._of_person[person]}
        chores = {whole.kinds[key].items[0].name.value for key in keys}
        return {
            index
            for name in chores
            for index in whole.by_chore[name]
            if id(whole.entries[index]) in keys
        }


def _whole(trees: Sequence[Tree]) -> Log:
    """The record of all trees by date, unknown names included."""
    dates: list[int] = []
    entries: list[RecordEntry] = []
    lines: list[int] = []
    files: list[int] = []
    # Trees of one reader share one mapping of entries.
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
    sources = [tree.source for tree in trees]
    stories: dict[str, object] = {}
    log = Log(dates, entries, kinds, files, lines, sources, stories=stories)
    stories.update((name, object()) for name in log.by_chore)
    return log


def _sound(entry: RecordEntry, chores: Mapping[str, Chore]) -> RecordEntry:
    """The entry without unknown chores. An unknown person stays: a line that names nobody counts
    for everybody where each does their own share."""
    return entry._replace(items=tuple(item for item in entry.items if item.name.value in chores))


def _report(
    log: Log,
    trees: Sequence[Tree],
    wrong: Iterable[int],
    declared: Declarations,
    chores: Mapping[str, Chore],
    findings: list[Finding],
) -> None:
    """Add a finding for each unknown name in some lines of the record, file by file."""
    # The nearest name is looked for once: an unknown chore may be named a thousand times.
    strangers: dict[str, Stranger] = {}
    known = near_to(chores)
    for file, number, index in sorted((log.files[i], log.lines[i], i) for i in wrong):
        source, entry = trees[file].source, log.entries[index]
        for item in entry.items:
            name = item.name
            if name.value not in chores:
                if name.value not in strangers:
                    strangers[name.value] = Stranger("chore", name.value, known)
                findings.append(strangers[name.value].at(name.at(source, number)))
        for person in entry.people:
            declared.person(person, source, number)

"""Caches of files and households: a second reading reads only what is new.

An editor reads the household at every key.
"""

from __future__ import annotations

import stat
from collections.abc import Iterable
from operator import is_
from pathlib import Path

from ledger.household.log import Logs
from ledger.household.model import Household
from ledger.household.record import DATE_WIDTH
from ledger.household.resolve import resolve
from ledger.household.unchanged import keep
from ledger.text.changed import changed
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import Record, Tree
from ledger.workspace import Workspace, WorkspaceFault, load_source, without_collector

_LINES_TYPED = 2000
"""New lines after which a reader forgets the lines that are gone."""
_FEW_LINES = 500
"""The most changed lines for which a tree is patched and not read again."""


class FileCache:
    """The sources of files; a file is read again only when it has changed."""

    def __init__(self) -> None:
        self._sources: dict[Path, tuple[tuple[int, int, int], Source]] = {}
        self.readings = 0
        """How many files were read so far."""

    def source(self, path: Path) -> Source:
        """A file's source. Raises WorkspaceFault if it cannot be read."""
        try:
            state = path.stat()
        except OSError as fault:
            raise WorkspaceFault(f"{path}: cannot be read ({fault.strerror})") from fault
        if not stat.S_ISREG(state.st_mode):
            # Reading a pipe or a device may never end.
            raise WorkspaceFault(f"{path}: cannot be read (it is no regular file)")
        # A replaced file has another inode, even if its time and size are the same.
        stamp = state.st_mtime_ns, state.st_size, state.st_ino
        known = self._sources.get(path)
        if known is None or known[0] != stamp:
            known = self._sources[path] = stamp, load_source(path)
            self.readings += 1
        return known[1]

    def forget_others(self, paths: Iterable[Path]) -> None:
        """Forget all other files: they are gone."""
        self._sources = {path: self._sources[path] for path in paths if path in self._sources}


class HouseholdCache:
    """Reads a household again and again; of a changed source it reads only the new lines."""

    def __init__(self) -> None:
        self._reader = Reader()
        self._logs = Logs()
        self._trees: dict[str, Tree] = {}
        self._household: Household | None = None
        self._lines_after_forgetting = 0
        """The lines in the reader's memory when it last forgot some."""

    def read(self, sources: Iterable[Source]) -> Workspace:
        """What `read_sources` answers. A source that is the same object is not read again."""
        with without_collector():
            self._trees = {source.path: self._tree(source) for source in sources}
            trees = tuple(self._trees.values())
            # Lines that were typed and then changed are no longer in the household.
            if self._reader.lines_in_mind > self._lines_after_forgetting + _LINES_TYPED:
                self._reader.forget(trees)
                self._lines_after_forgetting = self._reader.lines_in_mind
            household, findings = resolve(trees, self._logs)
        if self._household is not None:
            household = keep(household, self._household)
        self._household = household
        return Workspace(trees, household, tuple(findings))

    def _tree(self, source: Source) -> Tree:
        known = self._trees.get(source.path)
        if known is not None and known.source is source:
            return known
        if known is not None:
            stretch = changed((known.source.lines, source.lines))
            if stretch.size <= _FEW_LINES:
                return self._reader.again(known, source, stretch)
        tree = self._reader.read(source)
        record = tree.record
        if known is not None and _is_same(record, known.record):
            return tree._replace(record=known.record)
        tails = (source.lines[number][DATE_WIDTH:] for number in record.numbers)
        kinds = dict(zip(tails, record.entries, strict=True))
        return tree._replace(record=record._replace(kinds=kinds))


def _is_same(record: Record, other: Record) -> bool:
    """True if two records have the same lines at the same places."""
    return (
        record.numbers == other.numbers
        and record.dates == other.dates
        and all(map(is_, record.entries, other.entries))
    )

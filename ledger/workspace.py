"""The workspace: from paths or buffers to sources, trees, one household and its findings."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from operator import is_
from pathlib import Path

from ledger.household.kept import keep
from ledger.household.log import Logs
from ledger.household.model import DATE_WIDTH, Household
from ledger.household.resolve import resolve
from ledger.text.finding import Finding, Severity
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import Record, Tree

SUFFIX = ".chores"

_LINES_TYPED = 2000
"""Lines that a reader may have in mind besides those that there are."""


class WorkspaceFault(Exception):
    """A path that holds no book, or cannot be read; the message says which and what to do."""


@dataclass(frozen=True)
class Workspace:
    """A household with the text it was read from."""

    trees: tuple[Tree, ...]
    household: Household
    findings: tuple[Finding, ...]
    """Of reading and of names; the rules of the linter come on top."""

    def unused_lines(self) -> int:
        """How many lines could not be used, or not in full."""
        return len(
            {
                (finding.place.source.path, finding.place.line)
                for finding in self.findings
                if finding.severity is Severity.ERROR
            }
        )


def find_books(paths: Sequence[Path]) -> list[Path]:
    """The books that paths name: files as given, folders with every book below them.

    In order of name, each once. Raises WorkspaceFault for a path that is not there, and for a
    folder without a book.
    """
    books: dict[Path, Path] = {}
    for path in paths:
        if path.is_dir():
            below = [book for book in sorted(path.rglob(f"*{SUFFIX}")) if _is_book(book, path)]
            if not below:
                raise WorkspaceFault(
                    f"{path}: no {SUFFIX} file in this folder; name the folder of your book, "
                    f"or begin one with `home{SUFFIX}`"
                )
        elif path.exists():
            below = [path]
        else:
            raise WorkspaceFault(f"{path}: there is no such file or folder")
        for book in below:
            books.setdefault(book.resolve(), book)
    return list(books.values())


def _is_book(book: Path, folder: Path) -> bool:
    """A file, in no hidden folder: an editor's and git's copies are nobody's book."""
    inside = book.relative_to(folder).parts
    return book.is_file() and not any(part.startswith(".") for part in inside)


def load_source(path: Path) -> Source:
    """A file's source. Raises WorkspaceFault where it cannot be read."""
    try:
        return Source.decode(str(path), path.read_bytes())
    except OSError as fault:
        raise WorkspaceFault(f"{path}: cannot be read ({fault.strerror})") from fault


def read_sources(sources: Iterable[Source]) -> Workspace:
    """The household that some sources describe together."""
    with _no_cycles():
        reader = Reader()
        trees = tuple(reader.read(source) for source in sources)
        household, findings = resolve(trees)
    return Workspace(trees, household, tuple(findings))


@contextmanager
def _no_cycles() -> Iterator[None]:
    """Reading makes many objects and no cycles: looking for cycles meanwhile takes longer than
    the reading itself."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


def read_household(paths: Sequence[Path]) -> Workspace:
    """The household in some files and folders. Raises WorkspaceFault as `find_books` does."""
    return read_sources(load_source(path) for path in find_books(paths))


class FileKeeper:
    """The sources of files, read again only when a file is another than before."""

    def __init__(self) -> None:
        self._kept: dict[Path, tuple[tuple[int, int, int], Source]] = {}
        self.readings = 0
        """How many files were read so far."""

    def source(self, path: Path) -> Source:
        """A file's source. Raises WorkspaceFault where it cannot be read."""
        try:
            state = path.stat()
        except OSError as fault:
            raise WorkspaceFault(f"{path}: cannot be read ({fault.strerror})") from fault
        # A file replaced whole is another file, though its time and size may be the same.
        stamp = state.st_mtime_ns, state.st_size, state.st_ino
        kept = self._kept.get(path)
        if kept is None or kept[0] != stamp:
            kept = self._kept[path] = stamp, load_source(path)
            self.readings += 1
        return kept[1]


class HouseholdKeeper:
    """Reads a household again and again, and of a source that it has read only what is new."""

    def __init__(self) -> None:
        self._reader = Reader()
        self._logs = Logs()
        self._trees: dict[str, Tree] = {}
        self._household: Household | None = None

    def read(self, sources: Iterable[Source]) -> Workspace:
        """What `read_sources` answers. A source is known by its identity."""
        with _no_cycles():
            self._trees = {source.path: self._tree(source) for source in sources}
            trees = tuple(self._trees.values())
            # Lines that were typed and typed over are no line of the household any more.
            lines = sum(len(tree.source.lines) for tree in trees)
            if self._reader.lines_in_mind > 2 * lines + _LINES_TYPED:
                self._reader.forget(trees)
            household, findings = resolve(trees, self._logs)
        if self._household is not None:
            household = keep(household, self._household)
        self._household = household
        return Workspace(trees, household, tuple(findings))

    def _tree(self, source: Source) -> Tree:
        kept = self._trees.get(source.path)
        if kept is not None and kept.source is source:
            return kept
        tree = self._reader.read(source)
        record = tree.record
        if kept is not None and _is_the_same(record, kept.record):
            return replace(tree, record=kept.record)
        tails = (source.lines[number][DATE_WIDTH:] for number in record.numbers)
        kinds = dict(zip(tails, record.entries, strict=True))
        return replace(tree, record=replace(record, kinds=kinds))


def _is_the_same(record: Record, other: Record) -> bool:
    """True where two records have the same lines at the same places."""
    return (
        record.numbers == other.numbers
        and record.dates == other.dates
        and all(map(is_, record.entries, other.entries))
    )

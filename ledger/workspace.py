"""The workspace: from paths or buffers to sources, trees, one household and its findings."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from ledger.household.model import Household
from ledger.household.resolve import resolve
from ledger.text.finding import Finding, Severity
from ledger.text.reader import Explained, Reader
from ledger.text.source import Source
from ledger.text.tree import Tree

SUFFIX = ".chores"


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
        faulty = {one.line for one in self.findings if one.severity is Severity.ERROR}
        return len(faulty)


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
    return book.is_file() and not is_hidden(book, folder)


def is_hidden(book: Path, folder: Path) -> bool:
    """True for a file that is hidden below a folder, or in a hidden one: copies that an editor
    or git makes are nobody's book."""
    return any(part.startswith(".") for part in book.relative_to(folder).parts)


def load_source(path: Path) -> Source:
    """A file's source. Raises WorkspaceFault where it cannot be read."""
    try:
        return Source.decode(str(path), path.read_bytes())
    except OSError as fault:
        raise WorkspaceFault(f"{path}: cannot be read ({fault.strerror})") from fault


def read_sources(sources: Iterable[Source], explained: Explained | None = None) -> Workspace:
    """The household that some sources describe together.

    `explained` is for two versions of a book: what is wrong in the lines of both is found out
    once.
    """
    with no_cycles():
        reader = Reader(explained)
        trees = tuple(reader.read(source) for source in sources)
        household, findings = resolve(trees)
    return Workspace(trees, household, tuple(findings))


@contextmanager
def no_cycles() -> Iterator[None]:
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

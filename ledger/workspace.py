"""The workspace: from files or buffers to sources, trees, one household and its findings."""

from __future__ import annotations

import errno
import gc
import os
import stat
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from fnmatch import fnmatch
from pathlib import Path
from shlex import quote
from typing import BinaryIO, NamedTuple

from ledger.household.model import Household
from ledger.household.resolve import resolve
from ledger.text.finding import Finding, Severity
from ledger.text.reader import Explained, Reader
from ledger.text.source import Source
from ledger.text.tree import Tree

SUFFIX = ".chores"
LARGEST, MOST_LINES = 64 * 2**20, 2**20
"""The most bytes and lines of one book. A hundred years of a record in one file have less than half
of the bytes and three quarters of the lines. A larger file is no book, and would fill the memory.
"""
_PART = 2**20


class WorkspaceFault(Exception):
    """A path that holds no book, or cannot be read; the message says which and what to do."""


class NoBook(WorkspaceFault):
    """A folder holds no book."""

    def __init__(self, folder: Path) -> None:
        where = "" if folder == Path() else f" {quote(str(folder))}"
        super().__init__(
            f"{folder}: no {SUFFIX} file in this folder; name the folder of your book, or begin "
            f"one: `besom begin{where}`"
        )


class Workspace(NamedTuple):
    """A household with the text it was read from."""

    trees: tuple[Tree, ...]
    household: Household
    findings: tuple[Finding, ...]
    """From reading and from resolving names; the linter's rules add theirs later."""
    folder: Path = Path()
    """The folder of the home, in which a new book of its record belongs."""
    asked: frozenset[str] | None = None
    """The paths of the books of which findings are told; None for all."""

    @property
    def files(self) -> list[Path]:
        """The files of all books of the home."""
        return [Path(tree.source.path) for tree in self.trees]

    def told(self, findings: Iterable[Finding]) -> list[Finding]:
        """The findings that lie in books that were asked for."""
        return [
            finding
            for finding in findings
            if self.asked is None or finding.place.source.path in self.asked
        ]

    def on(self, today: int) -> Workspace:
        """The workspace as of a day."""
        return self._replace(household=self.household.on(today))

    def unused_lines(self) -> int:
        """How many lines have an error, so that they cannot be used, or not in full."""
        faulty = {finding.line for finding in self.findings if finding.severity is Severity.ERROR}
        return len(faulty)


def find_books(paths: Sequence[Path]) -> list[Path]:
    """The books that paths name: files as given, folders with every book below them.

    In the order of the paths, below a folder in order of name, each once. Raises WorkspaceFault for
    a path that does not exist or is neither file nor folder, for a folder without a book, and for a
    folder below it that cannot be read: half a household gives other answers than the whole.
    """
    books: dict[str, Path] = {}
    for path in paths:
        if stat.S_ISDIR(_mode(path)):
            below = sorted(_books_below(path))
            if not below:
                raise NoBook(path)
        else:
            below = [path]
        for book in below:
            _require_file(book, _mode(book))
            books.setdefault(os.path.realpath(book), book)
    return list(books.values())


def _books_below(folder: Path) -> Iterator[Path]:
    """The files named as books in a folder and below it; links to folders are not followed."""
    waiting = [folder]
    while waiting:
        current = waiting.pop()
        try:
            with os.scandir(current) as entries:
                for entry in entries:
                    if is_hidden(Path(entry.name), Path()):
                        continue
                    if entry.is_dir(follow_symlinks=False):
                        waiting.append(current / entry.name)
                    elif fnmatch(entry.name, f"*{SUFFIX}") and not is_folder(current / entry.name):
                        yield current / entry.name
        except OSError as fault:
            raise WorkspaceFault(
                f"{current}: this folder cannot be looked into ({fault.strerror}), and may hold "
                "a part of your book; mend that, or name the files of your book"
            ) from fault


def is_there(path: Path) -> bool:
    """True if something is at a path, or may be in a folder that cannot be read."""
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError, ValueError):
        return False
    except OSError as fault:
        return fault.errno != errno.ENAMETOOLONG
    return True


def is_folder(path: Path) -> bool:
    """True for a folder, or a link to one."""
    return os.path.isdir(path)  # noqa: PTH112 - unlike that of pathlib, it raises nothing.


def is_hidden(book: Path, folder: Path) -> bool:
    """True if a file, or a folder between `folder` and the file, is hidden. Hidden copies, such as
    those that editors and git make, are not books."""
    return any(part.startswith(".") for part in book.relative_to(folder).parts)


def load_source(path: Path) -> Source:
    """A file's source. Raises WorkspaceFault if it cannot be read or is no regular file."""
    try:
        # To open a pipe may take for ever; to open a device may start it.
        _require_file(path, path.stat().st_mode)
        with os.fdopen(_open_without_waiting(path), "rb") as file:
            # The path may name another file by now.
            _require_file(path, os.fstat(file.fileno()).st_mode)
            return Source.decode(str(path), read_bounded(str(path), file))
    except (OSError, ValueError) as fault:
        raise _unreadable(path, fault) from fault


def read_bounded(name: str, file: BinaryIO) -> bytes:
    """The bytes of a file. Raises WorkspaceFault if they are more than any book has."""
    parts, size, lines = [], 0, 0
    while part := file.read(_PART):
        parts.append(part)
        size, lines = size + len(part), lines + part.count(b"\n")
        if size > LARGEST or lines > MOST_LINES:
            what = f"{LARGEST // 2**20} MiB" if size > LARGEST else f"{MOST_LINES:,} lines"
            raise WorkspaceFault(
                f"{name}: holds more than {what}, and no book does; keep a record in a file a "
                "year, or name another file"
            )
    return b"".join(parts)


def _open_without_waiting(path: Path) -> int:
    # Each system knows some of these.
    flags = ("O_NONBLOCK", "O_NOCTTY", "O_CLOEXEC", "O_BINARY", "O_NOINHERIT")
    return os.open(path, sum(getattr(os, flag, 0) for flag in flags) | os.O_RDONLY)


def _mode(path: Path) -> int:
    """The mode of a file. Raises WorkspaceFault if there is none, or it cannot be looked at."""
    try:
        return path.stat().st_mode
    except (FileNotFoundError, NotADirectoryError) as fault:
        if os.path.islink(path):  # noqa: PTH114 - unlike that of pathlib, it raises nothing.
            raise WorkspaceFault(f"{path}: leads to nothing; take this link away") from fault
        raise WorkspaceFault(f"{path}: there is no such file or folder") from fault
    except (OSError, ValueError) as fault:
        raise _unreadable(path, fault) from fault


def _require_file(path: Path, mode: int) -> None:
    if stat.S_ISREG(mode):
        return
    kinds = [(stat.S_ISDIR, "folder"), (stat.S_ISFIFO, "pipe"), (stat.S_ISSOCK, "socket")]
    kind = next((name for is_one, name in kinds if is_one(mode)), "device")
    raise WorkspaceFault(f"{path}: is a {kind}, and a book is a file; name a file or a folder")


def _unreadable(path: Path, fault: OSError | ValueError) -> WorkspaceFault:
    if not isinstance(fault, OSError):
        return WorkspaceFault(f"{path}: cannot be read (no file can have this name)")
    if fault.errno == errno.ELOOP:
        return WorkspaceFault(f"{path}: leads back to itself; take this link away")
    return WorkspaceFault(f"{path}: cannot be read ({fault.strerror})")


def read_sources(sources: Iterable[Source], explained: Explained | None = None) -> Workspace:
    """The household that some sources describe together.

    Two versions of a book may share `explained`: what is wrong in a line of both is then found out
    once.
    """
    with without_collector():
        reader = Reader(explained)
        trees = tuple(reader.read(source) for source in sources)
        household, findings = resolve(trees)
    return Workspace(trees, household, tuple(findings))


@contextmanager
def without_collector() -> Iterator[None]:
    """Pauses the garbage collector. Reading makes many objects and no cycles; to look for cycles
    would take longer than the reading."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()

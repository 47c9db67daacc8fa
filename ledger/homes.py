"""Homes: which books are one household's, and which homes a call asks for.

A home is a folder with a `household` line in one of its own books, or, where there is none, what
was asked for. Its books are all in it and below, but for those of homes further down.
"""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from ledger.text.source import Source
from ledger.workspace import (
    SUFFIX,
    Workspace,
    WorkspaceFault,
    find_books,
    is_folder,
    load_source,
    read_sources,
)

_HOUSEHOLD = re.compile(r'^household(?![^\s"#])', re.MULTILINE)


class Home(NamedTuple):
    """The books of one household."""

    folder: Path
    """Its folder; of books that belong to no home, the folder of the first."""
    sources: tuple[Source, ...]
    asked: frozenset[str]
    """The paths of the books that were asked for: all, or the files that were named."""
    is_declared: bool
    """True if a book in its folder has a `household` line."""

    def workspace(self) -> Workspace:
        """The household, with all that was found in reading it."""
        return read_sources(self.sources)._replace(folder=self.folder, asked=self.asked)

    def asked_sources(self) -> list[Source]:
        """The books that were asked for."""
        return [source for source in self.sources if source.path in self.asked]


class SeveralHomes(WorkspaceFault):
    """One household was asked for, and several are there."""

    def __init__(self, homes: Sequence[Home]) -> None:
        self.names = [str(home.folder) for home in homes if home.is_declared]
        self.others = sum(len(home.sources) for home in homes if not home.is_declared)
        """How many books belong to no home."""
        super().__init__(f"there are several homes ({', '.join(self.names)}); name one of them")


def read_household(paths: Sequence[Path]) -> Workspace:
    """The one household that paths ask for. Raises as `find_homes` does, and SeveralHomes."""
    homes = find_homes(paths)
    if len(homes) > 1:
        raise SeveralHomes(homes)
    return homes[0].workspace() if homes else read_sources(())


def find_homes(paths: Sequence[Path]) -> list[Home]:
    """The homes that paths ask for.

    A path in a home asks for that home, a file for findings in that file only. Any other folder
    asks for every home below it. Books of no home are one household: they were named together.
    Raises WorkspaceFault as `find_books` and `load_source` do.
    """
    look = _Look()
    return put_together(part for path in paths for part in look.asked_by(path))


class Part(NamedTuple):
    """What one path asks for in one home."""

    folder: Path | None
    """The folder of the home; None for books that belong to none."""
    sources: Sequence[Source]
    named: Sequence[Source]
    """Those of which findings are told."""


def put_together(
    parts: Iterable[Part], key: Callable[[str | Path], str] = os.path.realpath
) -> list[Home]:
    """The homes of some parts. What has the same key is the same folder or file; it is called as
    the part calls it that names it."""
    folders: dict[str, Path] = {}
    books: dict[str, dict[str, Source]] = {}
    asked: set[str] = set()
    for part in parts:
        home = key(part.folder) if part.folder else ""
        folders.setdefault(home, part.folder or Path(part.sources[0].path).parent)
        known = books.setdefault(home, {})
        for source in part.sources:
            known.setdefault(key(source.path), source)
        named = {key(source.path): source for source in part.named}
        known |= named
        asked |= named.keys()
    return [
        Home(
            folders[home],
            tuple(known.values()),
            frozenset(source.path for name, source in known.items() if name in asked),
            is_declared=bool(home),
        )
        for home, known in books.items()
    ]


def home_around(folder: Path, declares: Callable[[Path], bool] | None = None) -> Path | None:
    """The nearest home at or above a folder, called as the folder is where that can be.

    It is looked for up to the root of a repository, the person's home folder or a hidden folder.
    The root of a disk and a folder for everybody's temporary files are left out: what lies there
    may be anybody's. `declares` tells whether a folder is a home; without it, its files do.
    """
    is_home = declares or _is_home
    start = Path(os.path.realpath(folder))
    person = Path(os.path.realpath(os.path.expanduser("~")))  # noqa: PTH111 - this never raises.
    for one in (start, *start.parents):
        if one != start and (one == one.parent or _is_for_all(one)):
            return None
        if is_home(one):
            return called_like(one, folder)
        if one == person or one.name.startswith(".") or os.path.lexists(one / ".git"):
            return None
    return None


def called_like(real: Path, path: Path) -> Path:
    """A folder at or above a path, called as the path is: from the same folder, if that is how the
    path is written."""
    for one in (path, *path.parents):
        if os.path.realpath(one) == str(real):
            return one
    return real if path.is_absolute() else Path(os.path.relpath(real))


def declares_household(source: Source) -> bool:
    """True if a line of a book begins with the word `household`."""
    return "household" in source.text and _HOUSEHOLD.search(source.text) is not None


def grouped(sources: Iterable[Source], root: Path) -> dict[Path, list[Source]]:
    """The books below a folder by their home. What belongs to no home further down is the folder's
    own."""
    books = [(Path(source.path).parent, source) for source in sources]
    homes = {root, *(folder for folder, source in books if declares_household(source))}
    groups: dict[Path, list[Source]] = {}
    for folder, source in books:
        home = next((one for one in (folder, *folder.parents) if one in homes), root)
        groups.setdefault(home, []).append(source)
    return groups


class _Look:
    """One look at some paths: a folder that several of them lie in is read once."""

    def __init__(self) -> None:
        self._around: dict[Path, Path | None] = {}
        self._groups: dict[Path, dict[Path, list[Source]]] = {}

    def asked_by(self, path: Path) -> Iterator[Part]:
        """The parts that a path asks for."""
        if not is_folder(path):
            yield self._asked_by_file(path)
            return
        around = self._home_around(path)
        root = around or path
        for folder, sources in self._groups_of(root).items():
            if around is None:
                yield Part(None if folder == root else folder, sources, sources)
            elif folder == around:
                yield Part(around, sources, sources)

    def _asked_by_file(self, path: Path) -> Part:
        (book,) = find_books([path])
        source = load_source(book)
        around = self._home_around(path.parent)
        if around is not None:
            real = os.path.realpath(path)
            sources = self._groups_of(around)[around]
            # A hidden file, or one with another ending, is no book of the home.
            if any(os.path.realpath(other.path) == real for other in sources):
                return Part(around, sources, [source])
        return Part(None, [source], [source])

    def _home_around(self, folder: Path) -> Path | None:
        if folder not in self._around:
            self._around[folder] = home_around(folder)
        return self._around[folder]

    def _groups_of(self, root: Path) -> dict[Path, list[Source]]:
        if root not in self._groups:
            self._groups[root] = grouped(map(load_source, find_books([root])), root)
        return self._groups[root]


def own_books(folder: Path) -> list[Path]:
    """The books in a folder, by name; none if it cannot be looked into."""
    with suppress(OSError):
        inside = sorted(folder.iterdir())
        return [one for one in inside if one.suffix == SUFFIX and not one.name.startswith(".")]
    return []


def may_declare(book: Path) -> bool:
    """True if a book declares a household and can be read. Above the folder that was asked for,
    others may keep what we may not read."""
    try:
        return declares_household(load_source(book))
    except WorkspaceFault:
        return False


def _is_home(folder: Path) -> bool:
    return any(map(may_declare, own_books(folder)))


def _is_for_all(folder: Path) -> bool:
    """True for a folder in which everybody may write, and delete only what is theirs."""
    with suppress(OSError):
        return bool(folder.stat().st_mode & stat.S_ISVTX)
    return False

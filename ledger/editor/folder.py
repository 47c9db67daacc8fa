"""Folders: the household of one folder; only what changed is read again."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from pathlib import Path

from ledger.cache import FileCache, HouseholdCache
from ledger.editor.documents import Document
from ledger.editor.looking import look
from ledger.editor.view import View
from ledger.homes import grouped
from ledger.household.model import Household
from ledger.lint.rule_cache import RuleCache
from ledger.text.source import Source
from ledger.workspace import WorkspaceFault, find_books

DayOf = Callable[[Household], date]
"""Tells the date in a household, which knows when its day ends."""


class Folder:
    """The books of a folder and of the folders below it, or a text that stands alone."""

    def __init__(self, root: Path | None) -> None:
        self.root = root
        """None for a text without a file, which is a household by itself."""
        self.looks_anew = True
        """True if files may have come or gone."""
        self.is_whole = True
        """False if there is more in the folder than was looked at."""
        self._files, self._households, self._memory = FileCache(), HouseholdCache(), RuleCache()
        self._books: dict[str, Path] = {}
        """The real path of each book, by the path that it is called by."""
        self._sources: list[Source] = []
        self._view: View | None = None

    @property
    def readings(self) -> int:
        """How many files were read from disk so far."""
        return self._files.readings

    def view(self, documents: Mapping[str, Document], day_of: DayOf) -> View:
        """The household as it is now, given its open texts by path."""
        sources = self._own_sources(documents)
        same = len(sources) == len(self._sources) and all(
            source is other for source, other in zip(sources, self._sources, strict=True)
        )
        known = self._view
        if known is not None and same and day_of(known.household).toordinal() == known.today:
            return known
        workspace = self._households.read(sources)
        self._sources = sources
        day = day_of(workspace.household).toordinal()
        self._view = View(workspace.on(day), dict(documents), self._memory, self)
        return self._view

    def trial(self, view: View, sources: Iterable[Source]) -> View:
        """The household of a view, with other texts for some of its files."""
        tried = {tree.source.path: tree.source for tree in view.workspace.trees}
        tried |= {source.path: source for source in sources}
        workspace = self._households.read(tried.values())
        return View(workspace.on(view.today), {}, self._memory, self)

    def _own_sources(self, documents: Mapping[str, Document]) -> list[Source]:
        """The books, without those of homes further down, which are households of their own."""
        sources = list(self._all_sources(documents))
        if self.root is None:
            return sources
        own = {source.path for source in grouped(sources, self.root).get(self.root, ())}
        return [source for source in sources if source.path in own or source.path in documents]

    def _all_sources(self, documents: Mapping[str, Document]) -> Iterator[Source]:
        if self.looks_anew:
            self.looks_anew = False
            self._books = self._find_books()
            self._files.forget_others(map(Path, self._books))
        # A file and a link to it are one book; the open text is the one that counts.
        open_files = {document.file for document in documents.values()}
        closed = (path for path, file in self._books.items() if file not in open_files)
        for path in sorted({*closed, *documents}):
            if path in documents:
                yield documents[path].source
                continue
            try:
                yield self._files.source(Path(path))
            except WorkspaceFault:
                # The file is gone or cannot be read; the next look at the folder will show it.
                self.looks_anew = True

    def _find_books(self) -> dict[str, Path]:
        if self.root is None:
            return {}
        books, self.is_whole = look(self.root)
        try:
            paths = find_books(books) if books else []
            return {str(path): path.resolve() for path in paths}
        except (WorkspaceFault, OSError, RuntimeError):
            # A file is gone, or links lead in a circle; the next look at the folder will show it.
            self.looks_anew = True
            return {}

"""Sessions: the open texts of an editor and the households that they belong to."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path

from lsprotocol import types as lsp

from ledger.editor.documents import Document, path_of
from ledger.editor.view import View
from ledger.household.model import Household
from ledger.keepers import FileKeeper, HouseholdKeeper
from ledger.lint.memory import Memory
from ledger.text.source import Source
from ledger.workspace import SUFFIX, WorkspaceFault, find_books

DayOf = Callable[[Household], date]
"""The day it is in a household, which knows when its day ends."""
Key = Path | str
"""What texts of one household share: their folder; of a text that stands alone, its URI."""


class Folder:
    """The household of one folder, read again only as far as something changed."""

    def __init__(self, root: Path | None) -> None:
        self.root = root
        """None for a text that no file holds, which is a household by itself."""
        self.looks_anew = True
        """True where files may have come or gone."""
        self._files, self._keeper, self._memory = FileKeeper(), HouseholdKeeper(), Memory()
        self._paths: list[str] = []
        self._sources: list[Source] = []
        self._view: View | None = None

    @property
    def readings(self) -> int:
        """How many files were read from disk so far."""
        return self._files.readings

    def view(self, documents: Mapping[str, Document], day_of: DayOf) -> View:
        """The household as it stands, given the open texts that belong to it, by path."""
        sources = list(self._all_sources(documents))
        same = len(sources) == len(self._sources) and all(
            one is other for one, other in zip(sources, self._sources, strict=True)
        )
        known = self._view
        if known is not None and same and day_of(known.household).toordinal() == known.today:
            return known
        workspace = self._keeper.read(sources)
        self._sources = sources
        day = day_of(workspace.household).toordinal()
        self._view = View(workspace, dict(documents), day, self._memory, self)
        return self._view

    def trial(self, view: View, source: Source) -> View:
        """The household of a view with another text in the place of one of its files."""
        sources = [tree.source for tree in view.workspace.trees]
        tried = [source if one.path == source.path else one for one in sources]
        workspace = self._keeper.read(tried)
        return View(workspace, {}, view.today, self._memory, self)

    def _all_sources(self, documents: Mapping[str, Document]) -> Iterator[Source]:
        if self.looks_anew:
            self._paths, self.looks_anew = self._books(), False
        for path in sorted({*self._paths, *documents}):
            if path in documents:
                yield documents[path].source
                continue
            try:
                yield self._files.source(Path(path))
            except WorkspaceFault:
                # It has gone since, or nobody may read it; the next look at the folder tells.
                self.looks_anew = True

    def _books(self) -> list[str]:
        if self.root is None:
            return []
        try:
            return [str(path) for path in find_books([self.root])]
        except (WorkspaceFault, OSError):
            return []


class Session:
    """All that an editor has told: its folders, and its open texts."""

    def __init__(self, day_of: DayOf) -> None:
        self._day_of = day_of
        self._roots: list[Path] = []
        self._documents: dict[str, Document] = {}
        self._folders: dict[Key, Folder] = {}

    def set_roots(self, uris: Sequence[str]) -> None:
        """Take these as the folders that the editor works in.

        A home folder or the whole disk is no household: a text below one is taken for one of
        its own folder.
        """
        paths = [Path(path) for path in map(path_of, uris) if path is not None]
        self._roots = [path for path in paths if path not in (Path.home(), Path(path.anchor))]
        self._folders.clear()

    def open(self, item: lsp.TextDocumentItem) -> None:
        """A text is open, and from now on what the editor says is what it holds."""
        self._documents[item.uri] = Document(item.uri, item.version, item.text)
        self._folder(item.uri).looks_anew = True

    def change(self, params: lsp.DidChangeTextDocumentParams) -> None:
        """Something was typed. A text that is not open is left alone."""
        uri = params.text_document.uri
        document = self._documents.get(uri)
        if document is not None:
            version = params.text_document.version
            self._documents[uri] = document.changed(version, params.content_changes)

    def close(self, uri: str) -> None:
        """A text was closed: what it holds is again what its file holds."""
        if self._documents.pop(uri, None) is not None:
            self._folder(uri).looks_anew = True

    def look_anew(self) -> None:
        """Files came, went or changed on disk."""
        for folder in self._folders.values():
            folder.looks_anew = True

    @property
    def readings(self) -> int:
        """How many files were read from disk so far."""
        return sum(folder.readings for folder in self._folders.values())

    def document(self, uri: str) -> Document | None:
        """An open text."""
        return self._documents.get(uri)

    def view(self, uri: str) -> View:
        """The household of a text, as it stands."""
        return self._seen(self._key(uri))

    def views(self) -> Iterator[View]:
        """The households of all open texts."""
        for key in dict.fromkeys(map(self._key, self._documents)):
            yield self._seen(key)

    def _seen(self, key: Key) -> View:
        documents = {
            document.path: document
            for uri, document in self._documents.items()
            if self._key(uri) == key
        }
        return self._folder_of(key).view(documents, self._day_of)

    def _folder(self, uri: str) -> Folder:
        return self._folder_of(self._key(uri))

    def _folder_of(self, key: Key) -> Folder:
        if key not in self._folders:
            self._folders[key] = Folder(key if isinstance(key, Path) else None)
        return self._folders[key]

    def _key(self, uri: str) -> Key:
        """The folder of a text: that of the editor which holds it, else its own. A text that is
        no file, or no book by its name, has only itself."""
        path = path_of(uri)
        if path is None or not path.endswith(SUFFIX):
            return uri
        file = Path(path)
        roots = [root for root in self._roots if file.is_relative_to(root)]
        return max(roots, key=lambda root: len(root.parts)) if roots else file.parent

"""Sessions: the open texts of an editor and the households that they belong to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from lsprotocol import types as lsp

from ledger.editor.documents import Document, path_of
from ledger.editor.folder import DayOf, Folder
from ledger.editor.looking import is_broad
from ledger.editor.view import View
from ledger.homes import declares_household, home_around, may_declare, own_books
from ledger.workspace import SUFFIX, is_hidden

Key = Path | str
"""What the texts of one household share: their folder; for a text that stands alone, its URI."""


class Session:
    """What an editor has sent: its folders, and its open texts."""

    def __init__(self, day_of: DayOf) -> None:
        self._day_of = day_of
        self._roots: list[Path] = []
        self._documents: dict[str, Document] = {}
        self._folders: dict[Key, Folder] = {}
        self._homes: dict[Path, Path | None] = {}
        """The home around a folder, as far as it was looked for."""

    def set_roots(self, uris: Sequence[str]) -> None:
        """Take these as the folders that the editor works in.

        A home folder, a whole disk or a folder for temporary files is no household: a text below
        one belongs to its own folder.
        """
        paths = [Path(path) for path in map(path_of, uris) if path is not None]
        self._roots = [path for path in paths if not is_broad(path)]
        self._folders.clear()
        self._homes.clear()

    def open(self, item: lsp.TextDocumentItem) -> None:
        """A text was opened; from now on the editor's text counts."""
        self._documents[item.uri] = Document(item.uri, item.version, item.text)
        self.look_anew()
        self._forget_unused_folders()

    def change(self, params: lsp.DidChangeTextDocumentParams) -> None:
        """Something was typed. A text that is not open is ignored."""
        uri = params.text_document.uri
        document = self._documents.get(uri)
        if document is not None:
            version = params.text_document.version
            changed = document.changed(version, params.content_changes)
            self._documents[uri] = changed
            if declares_household(document.source) != declares_household(changed.source):
                self._homes.clear()

    def close(self, uri: str) -> None:
        """A text was closed; from now on its file counts."""
        self._documents.pop(uri, None)
        self.look_anew()
        self._forget_unused_folders()

    def look_anew(self) -> None:
        """Files were added, removed or changed on disk."""
        self._homes.clear()
        for folder in self._folders.values():
            folder.looks_anew = True

    @property
    def readings(self) -> int:
        """How many files were read from disk so far."""
        return sum(folder.readings for folder in self._folders.values())

    @property
    def cut(self) -> set[Path]:
        """The folders that hold more than was looked at."""
        folders = self._folders.values()
        return {folder.root for folder in folders if folder.root and not folder.is_whole}

    def document(self, uri: str) -> Document | None:
        """An open text."""
        return self._documents.get(uri)

    def view(self, uri: str) -> View:
        """The household of a text, as it is now."""
        return self._view_of(self._key(uri))

    def views(self) -> Iterator[View]:
        """The households of all open texts."""
        for key in dict.fromkeys(map(self._key, self._documents)):
            yield self._view_of(key)

    def _view_of(self, key: Key) -> View:
        documents = {
            document.path: document
            for uri, document in self._documents.items()
            if self._key(uri) == key
        }
        return self._folder_of(key).view(documents, self._day_of)

    def _folder_of(self, key: Key) -> Folder:
        if key not in self._folders:
            self._folders[key] = Folder(key if isinstance(key, Path) else None)
        return self._folders[key]

    def _forget_unused_folders(self) -> None:
        """Forget the folders without an open text."""
        used = set(map(self._key, self._documents))
        self._folders = {key: some for key, some in self._folders.items() if key in used}

    def _key(self, uri: str) -> Key:
        """The folder of a text's household. It is the home around the text; without one, the
        outermost folder that the editor works in; without one, the outermost that has an open text.
        A text without a file, with no book's name, or hidden below that folder has only itself."""
        path = path_of(uri)
        if path is None or not path.endswith(SUFFIX):
            return uri
        file = Path(path)
        root = self._home_around(file.parent) or self._folder_around(file)
        return uri if file.is_relative_to(root) and is_hidden(file, root) else root

    def _folder_around(self, file: Path) -> Path:
        around = _holding(file, self._roots)
        if not around:
            others = [Path(other) for other in map(path_of, self._documents) if other is not None]
            folders = [other.parent for other in others if not _holding(other, self._roots)]
            around = _holding(file, [one for one in folders if not is_broad(one)])
        return min(around, key=lambda folder: len(folder.parts), default=file.parent)

    def _home_around(self, folder: Path) -> Path | None:
        if folder not in self._homes:
            self._homes[folder] = home_around(folder, self._is_home)
        return self._homes[folder]

    def _is_home(self, folder: Path) -> bool:
        """True if a book in a folder has a `household` line; of an open one its text counts."""
        texts = {document.file: document for document in self._documents.values()}
        books = [*own_books(folder), *(file for file in texts if file.parent == folder)]
        return any(
            declares_household(texts[book].source) if book in texts else may_declare(book)
            for book in books
            if book.suffix == SUFFIX and not book.name.startswith(".")
        )


def _holding(file: Path, folders: Sequence[Path]) -> list[Path]:
    return [folder for folder in folders if file.is_relative_to(folder)]

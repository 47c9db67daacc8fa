"""Documents: the texts that an editor holds open, as they are typed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from pathlib import Path

from lsprotocol import types as lsp
from pygls.uris import to_fs_path

from ledger.editor.positions import Positions
from ledger.text.source import BYTE_ORDER_MARK, Source


class Document:
    """One state of an open text; typing makes a new one."""

    def __init__(self, uri: str, version: int | None, text: str) -> None:
        self.uri, self.version, self.text = uri, version, text

    @cached_property
    def path(self) -> str:
        """What besom calls the text: its path, or its URI where it has none."""
        return path_of(self.uri) or self.uri

    @cached_property
    def positions(self) -> Positions:
        """The places of the text."""
        return Positions(self.text)

    @cached_property
    def source(self) -> Source:
        """The text as besom reads it."""
        marked = self.text.startswith(BYTE_ORDER_MARK)
        return Source(self.path, self.text[marked:], marked)

    def changed(
        self, version: int | None, changes: Sequence[lsp.TextDocumentContentChangeEvent]
    ) -> Document:
        """The document after changes, each of which counts in the text that the last one left."""
        text, positions = self.text, self.positions
        for change in changes:
            if isinstance(change, lsp.TextDocumentContentChangePartial):
                start = positions.offset(change.range.start)
                end = max(start, positions.offset(change.range.end))
                text = text[:start] + change.text + text[end:]
            else:
                text = change.text
            positions = Positions(text)
        return Document(self.uri, version, text)


def path_of(uri: str) -> str | None:
    """The path of a file's URI, else None."""
    if not uri.startswith("file:"):
        return None
    path = to_fs_path(uri)
    return str(Path(path)) if path else None

"""Documents: the texts that an editor holds open, as they are typed."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from functools import cached_property
from pathlib import Path

from lsprotocol import types as lsp
from pygls.uris import to_fs_path

from ledger.editor.positions import Positions
from ledger.text.source import BYTE_ORDER_MARK, Source

_HALF = re.compile("[\ud800-\udfff]")


class Document:
    """One state of an open text; typing makes a new one."""

    def __init__(self, uri: str, version: int | None, text: str) -> None:
        self.uri, self.version = uri, version
        # Half of a surrogate pair is no character; it would be taken for a byte that is not UTF-8.
        self.text = _HALF.sub("\ufffd", text)

    @cached_property
    def path(self) -> str:
        """What besom calls the text: its path, or its URI if it has none."""
        return path_of(self.uri) or self.uri

    @cached_property
    def file(self) -> Path:
        """The real path of the text's file, links followed."""
        return Path(self.path).resolve()

    @cached_property
    def positions(self) -> Positions:
        """The positions of the text."""
        return Positions(self.text)

    @cached_property
    def source(self) -> Source:
        """The text as besom reads it."""
        marked = self.text.startswith(BYTE_ORDER_MARK)
        return Source(self.path, self.text[marked:], marked)

    def changed(
        self, version: int | None, changes: Sequence[lsp.TextDocumentContentChangeEvent]
    ) -> Document:
        """The document after some changes; each counts in the text that the one before it made."""
        document = self
        for change in changes:
            if isinstance(change, lsp.TextDocumentContentChangePartial):
                start = document.positions.offset(change.range.start)
                end = max(start, document.positions.offset(change.range.end))
                document = document._edited(version, start, end, change.text)
            else:
                document = Document(self.uri, version, change.text)
        return document if changes else Document(self.uri, version, self.text)

    def _edited(self, version: int | None, start: int, end: int, new: str) -> Document:
        """The document after a change of a range; line starts are searched again only there."""
        whole, new = self.text, _HALF.sub("\ufffd", new)
        document = Document(self.uri, version, "")
        document.text = whole[:start] + new + whole[end:]
        document.positions = self.positions.edited(document.text, start, end, new)
        mark = len(BYTE_ORDER_MARK) if whole.startswith(BYTE_ORDER_MARK) else 0
        # A change at the very start may add or remove a byte-order mark, which `source` leaves out.
        if start > 0:
            document.source = self.source.spliced(start - mark, end - mark, new)
        return document


def path_of(uri: str) -> str | None:
    """The path of a file's URI, else None."""
    if uri[:5].lower() != "file:":
        return None
    path = to_fs_path("file:" + uri[5:])
    return os.path.normpath(path) if path else None


def uri_of(path: str) -> str:
    """The URI of a file. The name of a text that is not saved yet is a URI already."""
    return Path(path).as_uri() if Path(path).is_absolute() else path

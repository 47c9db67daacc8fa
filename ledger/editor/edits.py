"""Edits: changes of files as the protocol carries them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lsprotocol import types as lsp

from ledger.editor.documents import uri_of
from ledger.editor.view import View
from ledger.text.edits import to_text
from ledger.text.source import BYTE_ORDER_MARK, Source

Edits = Mapping[str, Sequence[lsp.TextEdit]]
"""Edits of files, by path."""


class Abilities:
    """What an editor can do with edits, as it said at the start."""

    def __init__(self, capabilities: lsp.ClientCapabilities) -> None:
        workspace = capabilities.workspace
        edit = workspace.workspace_edit if workspace else None
        self.versions = bool(edit and edit.document_changes)
        kinds = (edit.resource_operations or []) if edit else []
        self.creates = self.versions and lsp.ResourceOperationKind.Create in kinds


def workspace_edit(view: View, edits: Edits, abilities: Abilities) -> lsp.WorkspaceEdit:
    """Edits of existing files, in the form that the editor takes."""
    if not abilities.versions:
        return lsp.WorkspaceEdit(changes={view.uri(path): list(e) for path, e in edits.items()})
    return lsp.WorkspaceEdit(
        document_changes=[
            lsp.TextDocumentEdit(
                lsp.OptionalVersionedTextDocumentIdentifier(view.uri(path), view.version(path)),
                list(some),
            )
            for path, some in edits.items()
        ]
    )


def new_file(path: str, text: str) -> lsp.WorkspaceEdit:
    """The edit that makes a new file."""
    uri = uri_of(path)
    start = lsp.Position(0, 0)
    return lsp.WorkspaceEdit(
        document_changes=[
            lsp.CreateFile(uri, options=lsp.CreateFileOptions(ignore_if_exists=True)),
            lsp.TextDocumentEdit(
                lsp.OptionalVersionedTextDocumentIdentifier(uri, None),
                [lsp.TextEdit(lsp.Range(start, start), text)],
            ),
        ]
    )


def edit_to(view: View, path: str, after: str) -> list[lsp.TextEdit]:
    """The edit, if any, that turns a file into another text; it touches only changed lines."""
    positions = view.positions(path)
    before = positions.text.removeprefix(BYTE_ORDER_MARK)
    return [
        lsp.TextEdit(
            lsp.Range(positions.at(one.line, one.start), positions.at(one.end_line, one.end)),
            one.new,
        )
        for one in to_text(Source(path, before), after)
    ]


def edits_to(view: View, sources: Mapping[str, Source]) -> Edits:
    """The edits that turn files into other texts, by path."""
    return {path: edit_to(view, path, source.text) for path, source in sources.items()}


def edit(view: View, path: str, span: tuple[int, int], lines: Sequence[str]) -> lsp.TextEdit:
    """The edit that replaces some lines of a file by others, which have their line ends."""
    positions = view.positions(path)
    return lsp.TextEdit(
        lsp.Range(positions.at(span[0], 0), positions.at(span[1], 0)), "".join(lines)
    )

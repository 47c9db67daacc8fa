"""Features: for each request of the protocol, which module answers it, and how it is announced."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Protocol

from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcInvalidParams

from ledger.editor.actions import KINDS, actions
from ledger.editor.colours import LEGEND, tokens
from ledger.editor.completion import completion
from ledger.editor.edits import Abilities, workspace_edit
from ledger.editor.folding import folds
from ledger.editor.formatting import format_file, format_range
from ledger.editor.hover import hover
from ledger.editor.names import path_in
from ledger.editor.navigation import definition, references
from ledger.editor.outline import outline
from ledger.editor.rename import RenameRefused, prepare, rename
from ledger.editor.selection import selections
from ledger.editor.session import Session
from ledger.editor.totals import totals


class FeatureServer(Protocol):
    """What a feature may use of the server."""

    session: Session

    @property
    def abilities(self) -> Abilities:
        """What the editor can do with edits."""


Answer = Callable[[FeatureServer, Any], Any]


def _at(answer: Callable[..., Any]) -> Answer:
    """An answer about a position."""

    def handler(server: FeatureServer, params: lsp.TextDocumentPositionParams) -> Any:
        uri = params.text_document.uri
        return answer(server.session.view(uri), uri, params.position)

    return handler


def _of_file(answer: Callable[..., Any], *fields: str) -> Answer:
    """An answer about a file, given some fields of the request; None for an unknown file."""

    def handler(server: FeatureServer, params: Any) -> Any:
        uri = params.text_document.uri
        view = server.session.view(uri)
        path = path_in(view, uri)
        if path not in view.trees:
            return None
        return answer(view, path, *(getattr(params, field) for field in fields))

    return handler


def _completion(server: FeatureServer, params: lsp.CompletionParams) -> Any:
    uri = params.text_document.uri
    by_key = lsp.CompletionTriggerKind.TriggerCharacter
    on_its_own = params.context is not None and params.context.trigger_kind == by_key
    return completion(server.session.view(uri), uri, params.position, on_its_own)


def _references(server: FeatureServer, params: lsp.ReferenceParams) -> Any:
    uri = params.text_document.uri
    wanted = params.context.include_declaration
    return references(server.session.view(uri), uri, params.position, wanted)


def _rename(server: FeatureServer, params: lsp.RenameParams) -> Any:
    uri = params.text_document.uri
    view = server.session.view(uri)
    try:
        edits = rename(view, uri, params.position, params.new_name)
    except RenameRefused as refused:
        raise JsonRpcInvalidParams(str(refused)) from refused
    return workspace_edit(view, edits, server.abilities) if edits is not None else None


def _actions(server: FeatureServer, params: lsp.CodeActionParams) -> Any:
    uri = params.text_document.uri
    only = params.context.only
    return actions(server.session.view(uri), uri, params.range, only, server.abilities)


FEATURES: Mapping[str, tuple[Answer, Any]] = {
    lsp.TEXT_DOCUMENT_COMPLETION: (_completion, lsp.CompletionOptions([" ", ","])),
    lsp.TEXT_DOCUMENT_HOVER: (_at(hover), None),
    lsp.TEXT_DOCUMENT_DEFINITION: (_at(definition), None),
    lsp.TEXT_DOCUMENT_REFERENCES: (_references, None),
    lsp.TEXT_DOCUMENT_PREPARE_RENAME: (_at(prepare), None),
    lsp.TEXT_DOCUMENT_RENAME: (_rename, lsp.RenameOptions(prepare_provider=True)),
    lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL: (_of_file(outline), None),
    lsp.TEXT_DOCUMENT_FOLDING_RANGE: (_of_file(folds), None),
    lsp.TEXT_DOCUMENT_SELECTION_RANGE: (_of_file(selections, "positions"), None),
    lsp.TEXT_DOCUMENT_FORMATTING: (_of_file(format_file), None),
    lsp.TEXT_DOCUMENT_RANGE_FORMATTING: (_of_file(format_range, "range"), None),
    lsp.TEXT_DOCUMENT_CODE_ACTION: (_actions, lsp.CodeActionOptions(list(KINDS))),
    lsp.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL: (_of_file(tokens), LEGEND),
    lsp.TEXT_DOCUMENT_SEMANTIC_TOKENS_RANGE: (_of_file(tokens, "range"), LEGEND),
    lsp.TEXT_DOCUMENT_INLAY_HINT: (_of_file(totals, "range"), None),
}

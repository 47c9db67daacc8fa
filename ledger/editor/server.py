"""The server: which feature answers what the protocol asks (Language Server Protocol 3.17)."""

from __future__ import annotations

import asyncio
import gc
import time
from collections.abc import Generator
from functools import cached_property, partial
from typing import Any

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer
from pygls.protocol import LanguageServerProtocol, lsp_method

from ledger.editor.diagnostics import diagnostics
from ledger.editor.edits import Abilities
from ledger.editor.features import FEATURES, Answer
from ledger.editor.folder import DayOf
from ledger.editor.session import Session
from ledger.workspace import SUFFIX

_NOW_AND_THEN = 300.0
"""Seconds after which a household is looked through again though nothing is typed."""
_AT_ONCE = 0.25
"""Seconds that looking through a household may take without waiting for a pause in the typing."""
_LONGEST_WAIT = 0.5
"""Seconds that such a wait lasts at most."""


class _Protocol(LanguageServerProtocol):
    """Hands what is typed to the session: pygls would keep texts by other rules for line ends."""

    _server: BesomServer

    @lsp_method(lsp.INITIALIZE)
    def lsp_initialize(
        self, params: lsp.InitializeParams
    ) -> Generator[Any, Any, lsp.InitializeResult]:
        # Every editor has to know UTF-16; `positions` knows no other way to count.
        if params.capabilities.general is not None:
            params.capabilities.general.position_encodings = None
        return (yield from super().lsp_initialize(params))

    @lsp_method(lsp.TEXT_DOCUMENT_DID_OPEN)
    def lsp_text_document__did_open(self, params: lsp.DidOpenTextDocumentParams) -> None:
        self._server.session.open(params.text_document)
        self._server.check_soon()

    @lsp_method(lsp.TEXT_DOCUMENT_DID_CHANGE)
    def lsp_text_document__did_change(self, params: lsp.DidChangeTextDocumentParams) -> None:
        self._server.session.change(params)
        self._server.check_soon()

    @lsp_method(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def lsp_text_document__did_close(self, params: lsp.DidCloseTextDocumentParams) -> None:
        self._server.close(params.text_document.uri)


class BesomServer(LanguageServer):
    """Answers one editor, over the texts that it has open and the files beside them."""

    def __init__(self, day_of: DayOf, version: str) -> None:
        super().__init__("besom", version, protocol_cls=_Protocol)
        self.session = Session(day_of)
        self._published: dict[str, tuple[int | None, list[lsp.Diagnostic]]] = {}
        self._waiting: asyncio.TimerHandle | None = None
        self._took = 0.0
        self._readings = 0
        self._shut_down = self._left_open = False

    def shut_down(self, _params: Any) -> None:
        """The editor is about to end this."""
        self._shut_down = True

    def left(self, _params: Any) -> None:
        """The editor ends this, having said so before or not."""
        self._left_open = not self._shut_down

    @property
    def exit_code(self) -> int:
        """What the process ends with: 1 where the editor ended it without a warning."""
        return int(self._left_open)

    @cached_property
    def abilities(self) -> Abilities:
        """What the editor can do with edits."""
        return Abilities(self.client_capabilities)

    def check_soon(self) -> None:
        """Publish what is found once what has arrived with this message is dealt with.

        A large household waits for a pause about as long as looking through it last took.
        """
        if self._waiting is not None:
            self._waiting.cancel()
        wait = min(self._took, _LONGEST_WAIT) if self._took > _AT_ONCE else 0.0
        self._waiting = asyncio.get_running_loop().call_later(wait, self._check)

    def check_now_and_then(self) -> None:
        """Look again even if nothing is typed: the day may have changed."""
        asyncio.get_running_loop().call_later(_NOW_AND_THEN, self.check_now_and_then)
        if self._waiting is None:
            self._check()

    def _check(self) -> None:
        self._waiting = None
        begun = time.perf_counter()
        found = {
            view.uri(path): (view.version(path), some)
            for view in self.session.views()
            for path, some in diagnostics(view).items()
        }
        for uri in self._published.keys() - found.keys():
            found[uri] = None, []
        for uri, told in found.items():
            if self._published.get(uri, (None, [])) != told:
                self.text_document_publish_diagnostics(
                    lsp.PublishDiagnosticsParams(uri, told[1], told[0])
                )
        if self.session.readings != self._readings:
            # What was read from disk stays: looking through it for cycles would hold up a key.
            self._readings = self.session.readings
            gc.collect()
            gc.freeze()
            # How long it takes to read says nothing of how long the next key will.
            begun = time.perf_counter()
        self._published = {uri: told for uri, told in found.items() if told != (None, [])}
        self._took = time.perf_counter() - begun

    def close(self, uri: str) -> None:
        """A text was closed; what it holds is again what its file holds."""
        self.session.close(uri)
        self.check_soon()


def server(day_of: DayOf, version: str) -> BesomServer:
    """A server that answers every feature. `day_of` tells the day it is in a household."""
    made = BesomServer(day_of, version)
    for method, (answer, options) in FEATURES.items():
        made.feature(method, options)(partial(_asked, answer, made))
    made.feature(lsp.SHUTDOWN)(partial(BesomServer.shut_down, made))
    made.feature(lsp.EXIT)(partial(BesomServer.left, made))
    made.feature(lsp.INITIALIZED)(partial(_begin, made))
    made.feature(lsp.TEXT_DOCUMENT_DID_SAVE)(partial(_look_anew, made))
    made.feature(lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES)(partial(_look_anew, made))
    made.feature(lsp.WORKSPACE_DID_CHANGE_WORKSPACE_FOLDERS)(partial(_set_roots, made))
    return made


def _asked(answer: Answer, made: BesomServer, params: Any) -> Any:
    return answer(made, params)


def _begin(made: BesomServer, _params: Any) -> None:
    """The editor is ready: ask it to tell of books that change on disk, where it can."""
    _set_roots(made, None)
    made.check_now_and_then()
    workspace = made.client_capabilities.workspace
    watched = workspace.did_change_watched_files if workspace else None
    if watched is not None and watched.dynamic_registration:
        watchers = [lsp.FileSystemWatcher(f"**/*{SUFFIX}")]
        options = lsp.DidChangeWatchedFilesRegistrationOptions(watchers)
        made.client_register_capability(
            lsp.RegistrationParams(
                [lsp.Registration("besom-books", lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, options)]
            )
        )


def _set_roots(made: BesomServer, _params: Any) -> None:
    """Take up the folders that the editor works in."""
    uris = [folder.uri for folder in made.workspace.folders.values()]
    if not uris and made.workspace.root_uri:
        uris = [made.workspace.root_uri]
    made.session.set_roots(uris)
    made.check_soon()


def _look_anew(made: BesomServer, _params: Any) -> None:
    """Files may have come, gone or changed on disk."""
    made.session.look_anew()
    made.check_soon()

"""The server: gives each request to its feature, and publishes findings (Language Server Protocol
3.17)."""

from __future__ import annotations

import asyncio
import gc
import logging
import time
from collections.abc import Callable, Sequence
from functools import cached_property, partial
from pathlib import Path
from typing import Any, BinaryIO

from lsprotocol import types as lsp
from pygls.exceptions import FeatureRequestError, PyglsError
from pygls.lsp.server import LanguageServer
from pygls.protocol import lsp_method

from ledger.editor.diagnostics import diagnostics
from ledger.editor.edits import Abilities
from ledger.editor.features import FEATURES, Answer
from ledger.editor.folder import DayOf
from ledger.editor.looking import MOST_BOOKS, MOST_ENTRIES
from ledger.editor.messages import Messages, strict_converter
from ledger.editor.session import Session
from ledger.editor.wire import Answers, Wire, WireEnd
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.workspace import SUFFIX

LostLines = Callable[[Sequence[Source]], Sequence[str]]
_RECHECK_AFTER = 300.0
"""Seconds after which a household is checked again even if nothing is typed."""
_FAST_CHECK = 0.25
"""The most seconds that a check may take without waiting for a pause in the typing."""
_LONGEST_WAIT = 0.5
"""The most seconds of such a wait."""


_UNREADABLE = Source("", "every mondey\n    oven 40 mni\n2026-01-01 dd oven\narea\n")
"""Read beforehand, to load all that explains unreadable lines. Else the first such line would wait
for it."""


class _Protocol(Messages):
    """Gives what is typed to the session; pygls itself has other rules for line ends."""

    _server: BesomServer

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

    protocol: _Protocol

    def __init__(self, day_of: DayOf, version: str, lost_lines: LostLines) -> None:
        super().__init__(
            "besom", version, protocol_cls=_Protocol, converter_factory=strict_converter
        )
        self.session = Session(day_of)
        self._lost_lines = lost_lines
        self._published: dict[str, tuple[int | None, list[lsp.Diagnostic]]] = {}
        self._next_check: asyncio.TimerHandle | None = None
        self._check_took = 0.0
        self._readings = 0
        self._folders_reported: set[Path] = set()
        self._was_shut_down = self._exited_early = False
        self.fault: str | None = None
        """Why the server could not go on; None if it could."""

    def shut_down(self, _params: Any) -> None:
        """The editor is about to end the server: it has sent `shutdown`."""
        self._was_shut_down = True

    def exited(self, _params: Any) -> None:
        """The editor ends the server: it has sent `exit`, with or without `shutdown` before."""
        self._exited_early = not self._was_shut_down

    @property
    def exit_code(self) -> int:
        """The exit code of the process: 1 if the editor sent no `shutdown`, or the server could not
        go on."""
        return int(self._exited_early or self.fault is not None)

    def start_io(self, stdin: BinaryIO, stdout: BinaryIO) -> None:  # type: ignore[override]
        """Answer the editor until it ends the server."""
        answers = Answers(stdout)
        self.protocol.set_writer(answers)
        try:
            asyncio.run(self._serve(Wire(stdin), answers))
        except (KeyboardInterrupt, SystemExit):
            pass
        finally:
            self.shutdown()  # type: ignore[no-untyped-call]

    async def _serve(self, wire: Wire, answers: Answers) -> None:
        asyncio.get_running_loop().set_exception_handler(self._report_loop_error)
        try:
            while answers.is_taken:
                self.protocol.take(await wire.next())
        except WireEnd as end:
            if end.inside:
                self.fault = "the editor ended in the middle of a message"
        if not answers.is_taken:
            self.fault = "the editor takes no more answers"

    def _report_loop_error(self, _loop: asyncio.AbstractEventLoop, context: dict[str, Any]) -> None:
        """Report an error in a task that nobody waits for."""
        error = context.get("exception")
        self.report_server_error(
            error if isinstance(error, Exception) else Exception(context["message"]), PyglsError
        )

    def report_server_error(self, error: Exception, source: type[Exception]) -> None:
        """Tell the editor of an error that is in no answer."""
        if source is not FeatureRequestError:
            message = f"besom could not do what it was told: {type(error).__name__}: {error}"
            self.window_log_message(lsp.LogMessageParams(lsp.MessageType.Error, message))

    @cached_property
    def abilities(self) -> Abilities:
        """What the editor can do with edits."""
        return Abilities(self.client_capabilities)

    def check_soon(self) -> None:
        """Publish findings once the messages that have arrived are dealt with.

        A large household waits for a pause in the typing, about as long as its last check took.
        """
        if self._next_check is not None:
            self._next_check.cancel()
        wait = min(self._check_took, _LONGEST_WAIT) if self._check_took > _FAST_CHECK else 0.0
        self._next_check = asyncio.get_running_loop().call_later(wait, self._check)

    def check_now_and_then(self) -> None:
        """Check again even if nothing is typed: the day may have changed."""
        asyncio.get_running_loop().call_later(_RECHECK_AFTER, self.check_now_and_then)
        if self._next_check is None:
            self._check()

    def _check(self) -> None:
        self._next_check = None
        begun = time.perf_counter()
        found = {
            view.uri(path): (view.version(path), found_in_file)
            for view in self.session.views()
            for path, found_in_file in diagnostics(view).items()
        }
        for uri in self._published.keys() - found.keys():
            found[uri] = None, []
        for uri, published in found.items():
            if self._published.get(uri, (None, [])) != published:
                self.text_document_publish_diagnostics(
                    lsp.PublishDiagnosticsParams(uri, published[1], published[0])
                )
        if self.session.readings != self._readings:
            # What was read from disk stays in memory; to search it for cycles again would delay
            # typing.
            self._readings = self.session.readings
            gc.collect()
            gc.freeze()
            Reader().read(_UNREADABLE)
            # The time for reading files says nothing of how long the next check takes.
            begun = time.perf_counter()
        self.tell_of_folders()
        self._published = {
            uri: published for uri, published in found.items() if published != (None, [])
        }
        self._check_took = time.perf_counter() - begun

    def tell_of_folders(self) -> None:
        """Say once of each folder that it holds too much to look at all of it."""
        for folder in sorted(self.session.cut - self._folders_reported):
            message = (
                f"besom looked at {MOST_ENTRIES} files and {MOST_BOOKS} books in {folder} at most; "
                "books beyond them are left out. Open the folder of your household instead."
            )
            self.window_show_message(lsp.ShowMessageParams(lsp.MessageType.Warning, message))
        self._folders_reported |= self.session.cut

    def tell_of_lines(self) -> None:
        """Say which lines of a record are gone, for example because an editor saved over them."""
        for view in self.session.views():
            for message in self._lost_lines([tree.source for tree in view.workspace.trees]):
                self.window_show_message(lsp.ShowMessageParams(lsp.MessageType.Warning, message))

    def close(self, uri: str) -> None:
        """A text was closed; from now on its file counts."""
        self.session.close(uri)
        self.check_soon()


def server(day_of: DayOf, version: str, lost_lines: LostLines) -> BesomServer:
    """A server that answers every feature. `day_of` tells the date in a household, and `lost_lines`
    what to say of added lines that are gone from some files."""
    # The editor is told what goes wrong; pygls would write a traceback on standard error.
    for name in ("pygls", "concurrent.futures"):
        logging.getLogger(name).addHandler(logging.NullHandler())
    besom_server = BesomServer(day_of, version, lost_lines)
    for method, (answer, options) in FEATURES.items():
        besom_server.feature(method, options)(partial(_asked, answer, besom_server))
    besom_server.feature(lsp.SHUTDOWN)(partial(BesomServer.shut_down, besom_server))
    besom_server.feature(lsp.EXIT)(partial(BesomServer.exited, besom_server))
    besom_server.feature(lsp.INITIALIZED)(partial(_begin, besom_server))
    besom_server.feature(lsp.TEXT_DOCUMENT_DID_SAVE)(partial(_look_anew, besom_server))
    besom_server.feature(lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES)(partial(_look_anew, besom_server))
    besom_server.feature(lsp.WORKSPACE_DID_CHANGE_WORKSPACE_FOLDERS)(
        partial(_set_roots, besom_server)
    )
    return besom_server


def _asked(answer: Answer, besom_server: BesomServer, params: Any) -> Any:
    try:
        return answer(besom_server, params)
    finally:
        besom_server.tell_of_folders()


def _begin(besom_server: BesomServer, _params: Any) -> None:
    """The editor is ready: ask it to tell of books that change on disk, if it can."""
    _set_roots(besom_server, None)
    besom_server.check_now_and_then()
    workspace = besom_server.client_capabilities.workspace
    watched = workspace.did_change_watched_files if workspace else None
    if watched is not None and watched.dynamic_registration:
        watchers = [lsp.FileSystemWatcher(f"**/*{SUFFIX}")]
        options = lsp.DidChangeWatchedFilesRegistrationOptions(watchers)
        besom_server.client_register_capability(
            lsp.RegistrationParams(
                [lsp.Registration("besom-books", lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, options)]
            )
        )


def _set_roots(besom_server: BesomServer, _params: Any) -> None:
    """Use the folders that the editor works in."""
    uris = [folder.uri for folder in besom_server.workspace.folders.values()]
    if not uris and besom_server.workspace.root_uri:
        uris = [besom_server.workspace.root_uri]
    besom_server.session.set_roots(uris)
    besom_server.check_soon()


def _look_anew(besom_server: BesomServer, _params: Any) -> None:
    """Files may have come, gone or changed on disk."""
    besom_server.session.look_anew()
    besom_server.tell_of_lines()
    besom_server.check_soon()

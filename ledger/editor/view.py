"""Views: one household as it is now, with its open texts, for the features."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path
from typing import Protocol

from lsprotocol import types as lsp

from ledger.editor.documents import Document, uri_of
from ledger.editor.positions import Positions
from ledger.household.model import Household, Routine
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.lint.rule_cache import RuleCache
from ledger.planning.choices import Choices
from ledger.report.lightest import alternatives
from ledger.text.finding import Finding
from ledger.text.source import BYTE_ORDER_MARK, Source, TextRange
from ledger.text.tree import Tree
from ledger.workspace import Workspace


class TrialFolder(Protocol):
    """What a view asks of the folder it was made by."""

    root: Path | None

    def trial(self, view: View, sources: Iterable[Source]) -> View:
        """The household of a view, with other texts for some of its files."""


class View:
    """A household with its texts, open or on disk, on a day."""

    def __init__(
        self,
        workspace: Workspace,
        documents: Mapping[str, Document],
        memory: RuleCache,
        folder: TrialFolder,
    ) -> None:
        self.workspace = workspace
        self._documents, self._memory, self._folder = documents, memory, folder
        self._positions: dict[str, Positions] = {}

    @property
    def root(self) -> Path | None:
        """The folder of the household; None for a text that stands alone."""
        return self._folder.root

    def trial(self, sources: Iterable[Source]) -> View:
        """The household, with other texts for some of its files."""
        return self._folder.trial(self, sources)

    @property
    def today(self) -> int:
        """The day that the household takes for today."""
        return self.household.today

    @property
    def household(self) -> Household:
        """What the texts say together."""
        return self.workspace.household

    @cached_property
    def trees(self) -> Mapping[str, Tree]:
        """The texts as read, by path."""
        return {tree.source.path: tree for tree in self.workspace.trees}

    @cached_property
    def findings(self) -> list[Finding]:
        """What lint finds."""
        book = LintedBook(self.workspace.trees, self.household, self._memory)
        return lint(book, self.workspace.findings)

    @cached_property
    def choices(self) -> Choices:
        """The load of the year ahead, and which lines may be moved."""
        return alternatives(self.household, self.today)

    def positions(self, path: str) -> Positions:
        """The positions of one text."""
        document = self._documents.get(path)
        if document is not None:
            return document.positions
        if path not in self._positions:
            source = self.trees[path].source
            mark = BYTE_ORDER_MARK if source.has_mark else ""
            self._positions[path] = Positions(mark + source.text)
        return self._positions[path]

    def uri(self, path: str) -> str:
        """The URI of a text: the editor's own if it is open."""
        document = self._documents.get(path)
        return document.uri if document is not None else uri_of(path)

    def version(self, path: str) -> int | None:
        """The version of an open text; None for one on disk."""
        document = self._documents.get(path)
        return document.version if document is not None else None

    def range(self, place: TextRange) -> lsp.Range:
        """The range of a place."""
        return self.positions(place.source.path).of(place)

    def location(self, place: TextRange) -> lsp.Location:
        """The file and range of a place."""
        return lsp.Location(self.uri(place.source.path), self.range(place))

    @cached_property
    def routines(self) -> Mapping[tuple[str, int], tuple[str, Routine]]:
        """The lines of the routine by path and line: the chore's name, and what it says."""
        return {
            (routine.place.source.path, routine.place.line): (name, routine)
            for name, chore in self.household.chores.items()
            for routine in chore.routines
        }

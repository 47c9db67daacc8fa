"""Proposing: a change to the book that a report shows and does not make."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ledger.cli.common import show_changes, shown_path
from ledger.text.source import Source
from ledger.workspace import Workspace

Change = Sequence[tuple[Source, Source]]
"""The files that change, as they are and as they would be."""


def change_of(workspace: Workspace, changed: Iterable[Source]) -> Change:
    """The files of a home that change, given what they become."""
    new = {source.path: source for source in changed}
    sources = (tree.source for tree in workspace.trees)
    return [(source, new[source.path]) for source in sources if source.path in new]


def diff_of(change: Change) -> str:
    """The diffs of all files. Bytes that are not UTF-8 become lone surrogates, which JSON can
    escape."""
    if not change:
        return ""
    from ledger.text.difference import difference

    diffs = (difference(shown_path(old.path), old.encode(), new.encode()) for old, new in change)
    return "".join(diffs)


def show_change(change: Change) -> None:
    """Print the diffs of all files, byte for byte."""
    for old, new in change:
        show_changes(old.path, old.encode(), new.encode())

"""Resuming: takes `paused` out of lines and changes nothing else that a file says."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ledger.text.edits import delete, edited, word_place
from ledger.text.relocate import in_shape
from ledger.text.source import Source, TextRange
from ledger.text.tree import Tree


def resumed(trees: Iterable[Tree], lines: Sequence[TextRange]) -> dict[str, Source]:
    """The files that change, by path, with the lines at some places no longer paused.

    Raises FormatFault where formatting would change what a file says.
    """
    known = {tree.source.path: tree for tree in trees}
    edits = [edit for place in lines for edit in delete(word_place(place, "PAUSED")).edits]
    sources = edited((tree.source for tree in known.values()), edits)
    return {source.path: in_shape(known[source.path], source) for source in sources}

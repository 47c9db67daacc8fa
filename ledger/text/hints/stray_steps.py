"""Steps under no chore that are lines of another kind with a bullet before them."""

from __future__ import annotations

from ledger.text.clauses import SectionHeader
from ledger.text.hints.advice import mended
from ledger.text.hints.facts import facts
from ledger.text.hints.offered import as_declared, in_columns
from ledger.text.hints.reading import node_of, reads
from ledger.text.hints.steps import LOOKS_LIKE_A_CHORE
from ledger.text.source import Source
from ledger.text.tree import RecordLine, Step


def line_meant(source: Source, text: str) -> tuple[str, str] | None:
    """What a step with this text may be, and its line; None where it is a step."""
    words = text.strip(" \t")
    if not words:
        return None
    if reads(words):
        match node_of(words):
            case SectionHeader():
                return "a header", words
            case RecordLine():
                return "a line of the record", words
            case Step():
                return None
        return "a declaration", words
    if not LOOKS_LIKE_A_CHORE.match(words):
        return None
    chore = mended(source, f"    {words}")
    if chore is None or not chore.startswith(" ") or not reads(chore):
        return None
    return "a chore", in_columns(as_declared(chore, facts(source)))

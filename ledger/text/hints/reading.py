"""Edits of a line, and whether the edited line can be read."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from ledger.text.builder import build, step_of
from ledger.text.clauses import NamedDays, SectionHeader
from ledger.text.hints.vocabulary import TITLE, Pattern
from ledger.text.parser import LineFault, kind_of, parser
from ledger.text.tree import STEP, Node
from ledger.text.values import ValueFault

_WORD_OR_TITLE = Pattern(rf'{TITLE}?|[^\s,"]+')


class Edit(NamedTuple):
    """New text for a part of a line."""

    begin: int
    end: int
    new: str


@lru_cache(maxsize=64)
def fault_of(line: str) -> LineFault | ValueFault | None:
    """The fault of a line, or None; hints ask for the same few lines many times."""
    try:
        node_of(line)
    except (LineFault, ValueFault) as fault:
        return fault.with_traceback(None)
    return None


def node_of(line: str) -> Node:
    """The node of a line, or of a step. Raises LineFault or ValueFault."""
    margin = len(line) - len(line.lstrip(" \t"))
    if line.startswith(STEP, margin):
        return step_of(line, margin)
    return build(parser().parse(line, kind_of(line)))[0]


def reads(line: str) -> bool:
    """True for a line that can be read and is neither blank nor a comment."""
    words = line.strip(" \t")
    return bool(words) and words[0] != "#" and fault_of(line) is None


def applied(text: str, edit: Edit) -> str:
    """The line with one edit applied."""
    return text[: edit.begin] + edit.new + text[edit.end :]


def gets_past(text: str, edit: Edit, further: bool = False) -> bool:
    """True where the reader gets past the new text of an edit; with `further`, past the next
    word."""
    line = applied(text, edit)
    words = line.strip(" \t")
    if not words or words[0] == "#":
        return bool(words)
    fault = fault_of(line)
    if fault is None:
        return True
    limit = edit.begin + len(edit.new.rstrip(" \t"))
    if further:
        limit += len(line[limit:]) - len(line[limit:].lstrip(" \t")) + 1
    least = max(limit, edit.begin + 1) if edit.new or further else edit.begin
    return fault.token.start >= least


def dated(line: str, date: str) -> str:
    """A header or named days with the `from` that `every N` needs, before title and comment; other
    lines as they are."""
    node = node_of(line) if reads(line) else None
    if not isinstance(node, SectionHeader | NamedDays) or node.cadence is None:
        return line
    if node.first is not None or not node.cadence.value.needs_from:
        return line
    tail = next(
        (token.start for token in parser().tokens(line) if token.kind in ("TITLE", "COMMENT")),
        len(line),
    )
    head = line[:tail].rstrip(" \t")
    return f"{head} from {date}" + (f" {line[tail:]}" if tail < len(line) else "")


def ends_of_words(text: str, begin: int, end: int) -> Iterator[int]:
    """The end of each word between two places."""
    for match in _WORD_OR_TITLE.finditer(text[begin:end]):
        yield begin + match.end()

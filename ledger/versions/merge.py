"""Merge: two changed versions of a file put together, by what its lines mean.

Lines of the record that either side added are kept, each once, in order of date. Everything else
is merged by name, clause by clause. What both sides changed differently becomes a conflict of that
one line, between the marks that git uses. Comments stay.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeVar

from ledger.text.formatter import formatted, is_formatted
from ledger.text.hints.merge import LEAST, mark_length
from ledger.text.reader import Reader
from ledger.text.source import BYTE_ORDER_MARK, Source
from ledger.versions.order import pieces
from ledger.versions.pieces import Piece
from ledger.versions.renamed import known_as_before
from ledger.versions.settled import settled_lines
from ledger.versions.units import versions

T = TypeVar("T")


class Labels(NamedTuple):
    """What the marks of a conflict call the two sides, and the least length of a mark."""

    ours: str = "ours"
    theirs: str = "theirs"
    length: int = LEAST


PLAIN = Labels()


class Merged(NamedTuple):
    """The merged text."""

    source: Source
    conflicts: tuple[int, ...]
    """The lines, counted from 1, at which conflicts begin."""


def merge(base: Source, ours: Source, theirs: Source, labels: Labels = PLAIN) -> Merged:
    """Two versions of a file put together, given the version that both come from."""
    given = [(source.text, source.has_mark) for source in (base, ours, theirs)]
    if given[2] in given[:2]:
        return Merged(ours, ())
    if given[1] == given[0]:
        return Merged(Source(ours.path, *given[2]), ())
    reader = Reader()
    trees = [reader.read(source) for source in (base, ours, theirs)]
    before, *sides = versions(trees, settled_lines(trees))
    mine, others = (known_as_before(before, side) for side in sides)
    lines, conflicts = _lines(pieces(before, mine, others), labels)
    source = _source(lines, base, ours, theirs)
    if not conflicts and is_formatted(trees[1]) and is_formatted(trees[2]):
        tree = reader.read(source)
        if not is_formatted(tree):
            text = formatted(tree).removeprefix(BYTE_ORDER_MARK)
            source = Source(source.path, text, source.has_mark)
    return Merged(source, conflicts)


def _source(lines: Sequence[str], base: Source, ours: Source, theirs: Source) -> Source:
    """The lines as a file. Its line ends, its last line end and its byte order mark are ours, or
    theirs where only theirs changed them."""

    def chosen(value_of: Callable[[Source], T]) -> T:
        is_ours = ours.text and not (base.text and value_of(ours) == value_of(base))
        return value_of(ours) if is_ours else value_of(theirs)

    newline = chosen(lambda source: source.newline)
    # A carriage return at the end of a line would be read as part of a bare line end.
    ends = ["\r\n" if line.endswith("\r") else newline for line in lines]
    if ends and not chosen(lambda source: source.text.endswith("\n")):
        ends[-1] = ""
    text = "".join(line + end for line, end in zip(lines, ends, strict=True))
    return Source(ours.path, text, chosen(lambda source: source.has_mark))


def _lines(pieces: Sequence[Piece], labels: Labels) -> tuple[list[str], tuple[int, ...]]:
    lines: list[str] = []
    conflicts = []
    length = _mark_length(pieces, labels.length)
    for piece in pieces:
        lines += piece.lead
        for choice in piece.choices:
            if not choice.clashes:
                lines += choice.ours
                continue
            conflicts.append(len(lines) + 1)
            lines += [f"{'<' * length} {labels.ours}", *choice.ours, "=" * length]
            lines += [*choice.theirs, f"{'>' * length} {labels.theirs}"]
    return lines, tuple(conflicts)


def _mark_length(pieces: Sequence[Piece], asked: int) -> int:
    """The length of the marks: longer than anything like a mark in the lines of either side."""
    lines = (line for piece in pieces for line in (*piece.ours, *piece.theirs))
    return max(asked, LEAST, 1 + max(map(mark_length, lines), default=0))

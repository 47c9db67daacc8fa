"""Merge: two changed versions of a book put together, by what its lines say.

Lines of the record stand that either side has added, each once, in order of date. Everything
else is merged by name and clause by clause; what both sides changed differently becomes a
conflict of that one line, between the marks that git uses. Comments stay.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeVar

from ledger.text.formatter import formatted, is_formatted
from ledger.text.hints.merge import LEAST, mark_length
from ledger.text.reader import Reader
from ledger.text.source import BYTE_ORDER_MARK, Source
from ledger.versions.clauses import Piece
from ledger.versions.order import pieces
from ledger.versions.renamed import known_as_before
from ledger.versions.settled import settled_lines
from ledger.versions.units import versions

T = TypeVar("T")


class Labels(NamedTuple):
    """What the marks of a conflict call the two sides, and how long they are at least."""

    ours: str = "ours"
    theirs: str = "theirs"
    length: int = LEAST


PLAIN = Labels()


class Merged(NamedTuple):
    """The text that two versions make together."""

    source: Source
    conflicts: tuple[int, ...]
    """The lines, counted from 1, at which conflicts begin."""


def merge(base: Source, ours: Source, theirs: Source, labels: Labels = PLAIN) -> Merged:
    """Two versions of a file put together, given the one that both come from."""
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
    """The lines as a file whose ends of lines and of text, and whose mark, are ours, or theirs
    where only they changed them."""

    def kept(of: Callable[[Source], T]) -> T:
        is_ours = ours.text and not (base.text and of(ours) == of(base))
        return of(ours) if is_ours else of(theirs)

    newline = kept(lambda source: source.newline)
    # A return that is a line's own would be taken for a part of a bare line end.
    ends = ["\r\n" if line.endswith("\r") else newline for line in lines]
    if ends and not kept(lambda source: source.text.endswith("\n")):
        ends[-1] = ""
    text = "".join(line + end for line, end in zip(lines, ends, strict=True))
    return Source(ours.path, text, kept(lambda source: source.has_mark))


def _lines(pieces: Sequence[Piece], labels: Labels) -> tuple[list[str], tuple[int, ...]]:
    lines: list[str] = []
    conflicts = []
    length = _mark_length(pieces, labels.length)
    for piece in pieces:
        lines += piece.lead
        if not piece.clashes:
            lines += [piece.ours] if piece.ours is not None else []
            continue
        conflicts.append(len(lines) + 1)
        lines.append(f"{'<' * length} {labels.ours}")
        lines += [piece.ours] if piece.ours is not None else []
        lines.append("=" * length)
        lines += [piece.theirs] if piece.theirs is not None else []
        lines.append(f"{'>' * length} {labels.theirs}")
    return lines, tuple(conflicts)


def _mark_length(pieces: Sequence[Piece], asked: int) -> int:
    """How long the marks are to be for a reader to tell them from all that the sides hold."""
    told = (line for piece in pieces for line in (piece.ours, piece.theirs) if line is not None)
    return max(asked, LEAST, 1 + max(map(mark_length, told), default=0))

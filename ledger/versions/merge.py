"""Merge: two changed versions of a book put together, by what its lines say.

Lines of the record stand that either side has added, each once, in order of date. Everything
else is merged by name and clause by clause; what both sides changed differently becomes a
conflict of that one line, between the marks that git uses. Comments stay.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeVar

from ledger.text.formatter import formatted, is_formatted
from ledger.text.reader import Reader
from ledger.text.source import BYTE_ORDER_MARK, Source
from ledger.versions.clauses import Piece
from ledger.versions.order import pieces
from ledger.versions.renamed import known_as_before
from ledger.versions.settled import settled_lines
from ledger.versions.units import versions

T = TypeVar("T")

MARK_LENGTH = 7
"""How long git's conflict marks are if nothing else is asked."""


class Labels(NamedTuple):
    """What the marks of a conflict call the two sides, and how long they are."""

    ours: str = "ours"
    theirs: str = "theirs"
    length: int = MARK_LENGTH


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
    is_closed = kept(lambda source: source.text.endswith("\n"))
    text = newline.join(lines) + newline * (is_closed and bool(lines))
    return Source(ours.path, text, kept(lambda source: source.has_mark))


def _lines(pieces: Sequence[Piece], labels: Labels) -> tuple[list[str], tuple[int, ...]]:
    lines: list[str] = []
    conflicts = []
    for piece in pieces:
        lines += piece.lead
        if not piece.clashes:
            lines += [piece.ours] if piece.ours is not None else []
            continue
        conflicts.append(len(lines) + 1)
        lines.append(f"{'<' * labels.length} {labels.ours}")
        lines += [piece.ours] if piece.ours is not None else []
        lines.append("=" * labels.length)
        lines += [piece.theirs] if piece.theirs is not None else []
        lines.append(f"{'>' * labels.length} {labels.theirs}")
    return lines, tuple(conflicts)

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
    lines, marks = _lines(pieces(before, mine, others), labels)
    are_formatted = is_formatted(trees[1]) and is_formatted(trees[2])
    if are_formatted and marks:
        lines = _in_columns(lines, marks)
    source = _source(lines, base, ours, theirs)
    if are_formatted and not marks:
        tree = reader.read(source)
        if not is_formatted(tree):
            text = formatted(tree).removeprefix(BYTE_ORDER_MARK)
            source = Source(source.path, text, source.has_mark)
    return Merged(source, tuple(line + 1 for line in marks[::3]))


def _in_columns(lines: list[str], marks: Sequence[int]) -> list[str]:
    """Lines with conflicts in the columns of the formatter. It may change nothing else: what stands
    where is for the person to decide. It does not see the marks, which would part what belongs
    together."""
    marked = frozenset(marks)
    bare = [line for number, line in enumerate(lines) if number not in marked]
    tree = Reader().read(Source("", "".join(f"{line}\n" for line in bare)))
    shaped = formatted(tree).split("\n")[:-1]
    if list(map(_words, shaped)) != list(map(_words, bare)):
        return lines
    rest = iter(shaped)
    return [line if number in marked else next(rest) for number, line in enumerate(lines)]


def _words(line: str) -> list[str]:
    return [word for word in line.replace("\t", " ").split(" ") if word]


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


def _lines(pieces: Sequence[Piece], labels: Labels) -> tuple[list[str], list[int]]:
    """The merged lines, and which of them are marks: three a conflict, counted from 0."""
    lines: list[str] = []
    marks: list[int] = []

    def mark(sign: str, label: str = "") -> None:
        marks.append(len(lines))
        lines.append(sign * length + label)

    length = _mark_length(pieces, labels.length)
    for piece in pieces:
        lines += piece.lead
        for choice in piece.choices:
            if not choice.clashes:
                lines += choice.ours
                continue
            mark("<", f" {labels.ours}")
            lines += choice.ours
            mark("=")
            lines += choice.theirs
            mark(">", f" {labels.theirs}")
    return lines, marks


def _mark_length(pieces: Sequence[Piece], asked: int) -> int:
    """The length of the marks: longer than anything like a mark in the lines of either side."""
    lines = (line for piece in pieces for line in (*piece.ours, *piece.theirs))
    return max(asked, LEAST, 1 + max(map(mark_length, lines), default=0))

"""Rows of cells that fit a width: in columns, or where these are too narrow, one below another.

Nothing is cut. A title is broken between words, any other cell between its parts, which a comma
divides; a figure is never broken.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import zip_longest

from ledger.render.layout import wrap, wrap_whole
from ledger.text.width import width

GAP = 2
LEAST_TITLE, LEAST_CELL = 16, 16
"""Columns of a title, and of another cell, below which it is better to leave the columns."""
LONGEST_PART = 24
"""A part of a cell that takes more columns may be broken between words."""


def row_blocks(
    rows: Sequence[Sequence[str]],
    across: int,
    indent: str = "",
    right: Collection[int] = (),
    headers: Sequence[str] = (),
) -> Iterator[list[str]]:
    """The lines of each row, all in the same columns, those of `right` aligned right. Without room
    for columns, each title has a line of its own, with the other cells below it. The first row is
    the headers, if given; below a title they stand before their cells.
    """
    titled = [headers, *rows] if headers else rows
    widths = _widths(titled, across - len(indent), right)
    if widths is not None:
        yield from (_beside(row, widths, indent, right) for row in titled)
        return
    if headers and headers[0]:
        yield [indent + wrap(headers[0], len(indent) + GAP, across)]
    for head, *cells in rows:
        named = zip_longest(headers[1:], cells, fillvalue="")
        parts = [f"{name} {cell}".strip() for name, cell in named if cell not in ("", "-")]
        yield _below(head, [part.replace("\n", ", ") for part in parts], across, indent)


def row_lines(
    rows: Sequence[Sequence[str]],
    across: int,
    indent: str = "",
    right: Collection[int] = (),
    headers: Sequence[str] = (),
) -> list[str]:
    """The lines of all rows, as `row_blocks` lays them out."""
    return [line for block in row_blocks(rows, across, indent, right, headers) for line in block]


def _widths(rows: Sequence[Sequence[str]], room: int, right: Collection[int]) -> list[int] | None:
    """The width of each column, titles broken first, then the widest; None where even the least are
    too wide."""
    columns = list(zip(*rows, strict=True))
    widths = [max(map(_longest_line, cells)) for cells in columns]
    least = [
        widths[n] if n in right else min(widths[n], _least(cells, is_title=not n))
        for n, cells in enumerate(columns)
    ]
    room -= GAP * (sum(map(bool, widths)) - 1)
    if sum(least) > room:
        return None
    while sum(widths) > room:
        widest = max(range(len(widths)), key=lambda n: (widths[n] > least[n], not n, widths[n]))
        widths[widest] -= 1
    return widths


def _least(cells: Sequence[str], is_title: bool) -> int:
    if is_title:
        return max(LEAST_TITLE, GAP + _widest(word for cell in cells for word in cell.split()))
    return max(LEAST_CELL, 1 + _widest(part for cell in cells for part in _parts(cell)))


def _longest_line(cell: str) -> int:
    return _widest(cell.split("\n"))


def _widest(texts: Iterable[str]) -> int:
    return max(map(width, texts), default=0)


def _parts(cell: str) -> Iterator[str]:
    """What is not broken of a cell."""
    for line in cell.split("\n"):
        for part in line.split(", "):
            yield from [part] if width(part) <= LONGEST_PART else part.split()


def _beside(
    row: Sequence[str], widths: Sequence[int], indent: str, right: Collection[int]
) -> list[str]:
    """The lines of a row in columns."""
    cells = [_broken(cell, widths[n], is_title=not n) for n, cell in enumerate(row)]
    lines = []
    for pieces in zip_longest(*cells, fillvalue=""):
        padded = []
        for n, piece in enumerate(pieces):
            blanks = " " * (widths[n] - width(piece))
            if widths[n]:
                padded.append(blanks + piece if n in right else piece + blanks)
        lines.append((indent + (" " * GAP).join(padded)).rstrip())
    return lines


def _broken(cell: str, room: int, is_title: bool) -> list[str]:
    lines: list[str] = []
    for line in cell.split("\n"):
        if width(line) <= room:
            lines.append(line)
        elif is_title:
            lines += wrap(line, GAP, room).split("\n")
        else:
            lines += wrap_whole(line.split(", "), ", ", 0, room).split("\n")
    return lines


def _below(head: str, parts: Sequence[str], across: int, indent: str) -> list[str]:
    """The lines of a title with its other cells below it."""
    edge = len(indent) + 2 * GAP
    lines = [indent + wrap(head, len(indent) + GAP, across)] if head else []
    if parts:
        lines.append(" " * edge + wrap_whole(parts, ", ", edge, across))
    return lines

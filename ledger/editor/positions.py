"""Positions: places in a text as besom counts them, and as editors do, in UTF-16.

Language Server Protocol 3.17, Position: a line ends in LF, CR LF or a CR alone, and a character
beyond U+FFFF counts as two. Besom counts code points, and a CR alone ends no line.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from functools import cached_property

from lsprotocol import types as lsp

from ledger.text.source import BYTE_ORDER_MARK, TextRange

_LINE_END = re.compile(r"\r\n|\n|\r")


class Positions:
    """The positions of one text, which may begin with a byte-order mark."""

    def __init__(self, text: str) -> None:
        self.text = text
        self._mark = len(BYTE_ORDER_MARK) if text.startswith(BYTE_ORDER_MARK) else 0

    @cached_property
    def _starts(self) -> list[int]:
        """Offsets at which the lines of the editor begin."""
        return [0, *(found.end() for found in _LINE_END.finditer(self.text))]

    @cached_property
    def _own_starts(self) -> list[int]:
        """Offsets at which besom's lines begin; the byte-order mark is not a part of the first."""
        starts, found = [self._mark], self.text.find("\n")
        while found >= 0:
            starts.append(found + 1)
            found = self.text.find("\n", found + 1)
        return starts

    def edited(self, text: str, start: int, end: int, new: str) -> Positions:
        """The positions of the text after `new` has replaced a range.

        Line starts are searched again only around the range.
        """
        places = Positions(text)
        shift = len(text) - len(self.text)
        if "_starts" in self.__dict__:
            starts = self._starts
            # A carriage return at either end of the range may now form one line end with a line
            # feed.
            first = max(bisect_left(starts, start) - 1, 0)
            behind = [one + shift for one in starts[bisect_right(starts, end + 1) :]]
            stop = behind[0] if behind else len(text) + 1
            ends = (found.end() for found in _LINE_END.finditer(text, starts[first], stop))
            inside = (place for place in ends if place < stop)
            places._starts = [*starts[: first + 1], *inside, *behind]
        if "_own_starts" in self.__dict__ and start > 0:
            own = self._own_starts
            first, last = bisect_right(own, start), bisect_right(own, end)
            new_starts = (start + place + 1 for place, one in enumerate(new) if one == "\n")
            behind = [one + shift for one in own[last:]]
            places._own_starts = [*own[:first], *new_starts, *behind]
        return places

    def offset(self, position: lsp.Position) -> int:
        """The offset of a position; a position after the end of a line or of the text is at that
        end."""
        if position.line >= len(self._starts):
            return len(self.text)
        start = self._starts[position.line]
        rest = _LINE_END.search(self.text, start)
        line = self.text[start : rest.start() if rest else len(self.text)]
        return start + _code_points(line, position.character)

    def position(self, offset: int) -> lsp.Position:
        """The position of an offset."""
        line = bisect_right(self._starts, offset) - 1
        return lsp.Position(line, units(self.text[self._starts[line] : offset]))

    def at(self, line: int, column: int) -> lsp.Position:
        """The position of besom's line and column, both counted from 0."""
        if line >= len(self._own_starts):
            return self.position(len(self.text))
        return self.position(min(self._own_starts[line] + column, len(self.text)))

    def range(self, line: int, start: int, end: int) -> lsp.Range:
        """The range between two columns of one of besom's lines."""
        return lsp.Range(self.at(line, start), self.at(line, end))

    def of(self, place: TextRange) -> lsp.Range:
        """The range of a place. An empty one is set on the character before it, if there is one."""
        range_ = self.range(place.line, place.start, min(place.end, len(self.line(place.line))))
        if range_.start == range_.end and place.start:
            return self.range(place.line, place.start - 1, place.start)
        return range_

    def line(self, number: int) -> str:
        """One of besom's lines, without its end; nothing beyond the last."""
        if number >= len(self._own_starts):
            return ""
        start = self._own_starts[number]
        end = self.text.find("\n", start)
        return self.text[start : end if end >= 0 else len(self.text)].removesuffix("\r")

    def own(self, position: lsp.Position) -> tuple[int, int]:
        """Besom's line and column at a position."""
        offset = max(self.offset(position), self._mark)
        line = bisect_right(self._own_starts, offset) - 1
        return line, offset - self._own_starts[line]

    @property
    def whole(self) -> lsp.Range:
        """The range of all the text."""
        return lsp.Range(lsp.Position(0, 0), self.position(len(self.text)))


def units(text: str) -> int:
    """How many UTF-16 code units a text takes."""
    if text.isascii():
        return len(text)
    return len(text) + sum(character > "\uffff" for character in text)


def _code_points(line: str, character: int) -> int:
    """How many characters of a line come before a number of UTF-16 units; half a pair does not
    count."""
    if line.isascii():
        return min(character, len(line))
    taken = 0
    for index, one in enumerate(line):
        taken += 2 if one > "\uffff" else 1
        if taken > character:
            return index
    return len(line)

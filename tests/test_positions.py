"""Positions: what editors count in UTF-16, against Python's own codec."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lsprotocol import types as lsp

from ledger.editor.documents import Document
from ledger.editor.positions import Positions, units
from ledger.text.source import TextRange

# Beside letters: what takes two units, what is combined, every line end, a mark, a lone half.
SIGNS = 'ab ,#\t"é🍲👩\u200d🍳e\u0301\u0308\ud834\udd1e\r\n\r\n\u2028\x0b\ufeff'
TEXTS = st.text(SIGNS, max_size=40)


def lines_of(text: str) -> list[str]:
    """Lines without their ends, as the Language Server Protocol 3.17 cuts them ("Text
    Documents": `\\n`, `\\r\\n` and `\\r`)."""
    return re.split("\r\n|\n|\r", text)


def wide(text: str) -> int:
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


@given(TEXTS)
def test_units_are_those_of_utf_16(text: str) -> None:
    assert units(text) == wide(text)


@given(TEXTS, st.data())
def test_position_of_an_offset_counts_as_the_codec_does(text: str, data: st.DataObject) -> None:
    offset = data.draw(st.integers(0, len(text)))
    before = text[:offset]
    found = Positions(text).position(offset)
    # Between CR and LF no line begins.
    inside = text[offset - 1 : offset + 1] == "\r\n"
    lines = lines_of(before[:-1] if inside else before)
    assert found.line == len(lines) - 1
    assert found.character == wide(lines[-1]) + inside


@given(TEXTS, st.data())
def test_offset_of_a_position_is_the_way_back(text: str, data: st.DataObject) -> None:
    offset = data.draw(st.integers(0, len(text)))
    if text[offset - 1 : offset + 1] != "\r\n":
        positions = Positions(text)
        assert positions.offset(positions.position(offset)) == offset


@given(TEXTS, st.integers(0, 50), st.integers(0, 90))
def test_position_beyond_a_line_is_at_its_end(text: str, line: int, character: int) -> None:
    offset = Positions(text).offset(lsp.Position(line, character))
    lines = lines_of(text)
    if line >= len(lines):
        assert offset == len(text)
    else:
        back = Positions(text).position(offset)
        assert back.line == line
        assert back.character <= min(character, wide(lines[line]))
        # Half of a pair counts as none of it.
        assert min(character, wide(lines[line])) - back.character <= 1


@given(TEXTS, st.data())
def test_own_place_and_position_agree(text: str, data: st.DataObject) -> None:
    positions = Positions(text)
    rest = text.removeprefix("\ufeff")
    offset = data.draw(st.integers(0, len(rest)))
    line = rest[:offset].count("\n")
    column = offset - (rest.rfind("\n", 0, offset) + 1)
    position = positions.at(line, column)
    mark = len(text) - len(rest)
    assert position == positions.position(offset + mark)
    if rest[offset - 1 : offset + 1] != "\r\n":
        assert positions.own(position) == (line, column)


@pytest.mark.parametrize(
    ("line", "start", "end", "found"),
    [
        (1, 4, 7, ((1, 4), (1, 7))),
        (1, 13, 17, ((1, 14), (1, 18))),
        (0, 5, 6, ((0, 4), (0, 5))),
        (2, 0, 1, ((2, 0), (2, 0))),
    ],
)
def test_place_past_the_end_of_its_line_is_on_its_last_character(
    line: int, start: int, end: int, found: tuple[tuple[int, int], tuple[int, int]]
) -> None:
    document = Document("file:///home.chores", 1, 'every\r\n    pot  "🍲" # pot\r\n')
    place = TextRange(document.source, line, start, end)
    assert document.positions.of(place) == lsp.Range(*(lsp.Position(*where) for where in found))


def test_lone_return_ends_a_line_of_the_editor_and_none_of_ours() -> None:
    positions = Positions("a\rb\nc")
    assert positions.at(0, 2) == lsp.Position(1, 0)
    assert positions.at(1, 0) == lsp.Position(2, 0)
    assert positions.own(lsp.Position(1, 1)) == (0, 3)
    assert positions.line(0) == "a\rb"


def test_byte_order_mark_is_no_part_of_our_first_line() -> None:
    document = Document("file:///home.chores", 1, "\ufeffarea kitchen\n")
    assert document.source.lines == ["area kitchen"]
    assert document.source.has_mark
    assert document.positions.range(0, 5, 12).start == lsp.Position(0, 6)
    assert document.positions.own(lsp.Position(0, 6)) == (0, 5)

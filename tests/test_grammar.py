"""The parser that follows compiled tables reads a line as Lark itself reads it."""

from __future__ import annotations

from typing import Any

import pytest
import strategies as some
from hypothesis import example, given
from hypothesis import strategies as st
from lark import Lark, UnexpectedInput, UnexpectedToken
from lark import Token as LarkToken

from ledger.text.grammar import STARTS, compile_grammar, from_json, grammar_text, to_json
from ledger.text.parser import LineFault, ParseNode, Parser, Token

GRAMMAR = grammar_text()
TABLES = compile_grammar(GRAMMAR)
PARSER = Parser(TABLES)
ORACLE = Lark(
    GRAMMAR,
    parser="lalr",
    lexer="basic",
    start=list(STARTS),
    maybe_placeholders=False,
    propagate_positions=True,
)
starts = st.sampled_from(STARTS)


def shape_of_ours(branch: ParseNode | Token) -> object:
    """A branch as nested tuples: kinds, words, and places from first to last character."""
    if isinstance(branch, Token):
        return tuple(branch)
    children = [shape_of_ours(child) for child in branch.children]
    return branch.rule, children, branch.start, branch.end


# Any: Lark types neither its trees' data nor their positions.
def shape_of_theirs(tree: Any) -> object:
    """The same of a Lark tree."""
    if isinstance(tree, LarkToken):
        return tree.type, str(tree), tree.start_pos, tree.end_pos
    children = [shape_of_theirs(child) for child in tree.children]
    return str(tree.data), children, tree.meta.start_pos, tree.meta.end_pos


def ours(line: str, start: str) -> object:
    """What the parser makes of a line, or where it stops."""
    try:
        return shape_of_ours(PARSER.parse(line, start))
    except LineFault as stop:
        return "stops at", stop.token.start


def theirs(line: str, start: str) -> object:
    """What Lark makes of a line, or where it stops."""
    try:
        return shape_of_theirs(ORACLE.parse(line, start=start))
    except UnexpectedToken as stop:
        at_end = stop.token.type == "$END"
        return "stops at", len(line) if at_end else stop.token.start_pos
    except UnexpectedInput as stop:
        return "stops at", stop.pos_in_stream


@given(some.lines, starts)
def test_sound_lines_give_the_branches_that_lark_gives(line: str, start: str) -> None:
    assert ours(line, start) == theirs(line, start)


@given(some.parsed_lines)
def test_sound_lines_are_read_under_the_start_of_their_kind(line: str) -> None:
    readings = [ours(line, start) for start in STARTS]
    assert any(isinstance(reading, tuple) and reading[0] in STARTS for reading in readings)


@given(some.mutated(some.lines), starts)
def test_lines_with_a_slip_give_what_lark_gives(line: str, start: str) -> None:
    assert ours(line, start) == theirs(line, start)


@given(some.arbitrary_lines, starts)
def test_arbitrary_lines_give_what_lark_gives(line: str, start: str) -> None:
    assert ours(line, start) == theirs(line, start)


@given(st.lists(st.sampled_from([*TABLES.keywords, "x", ",", "2", '"t"', "# c"])), starts)
def test_keywords_in_any_order_give_what_lark_gives(words: list[str], start: str) -> None:
    line = " ".join(words)
    assert ours(line, start) == theirs(line, start)


def expected_by_lark(line: str, start: str) -> set[str] | None:
    """The kinds of words Lark would take at the first that cannot stand; None if all can."""
    try:
        ORACLE.parse(line, start=start)
    except UnexpectedToken as stop:
        return set(stop.accepts)
    except UnexpectedInput:
        pass
    return None


@given(some.mutated(some.lines), starts)
@example("2026-01-01 moved bins 2026-01-02", "record_line")
@example("14 days fater done", "declaration_line")
def test_words_expected_at_a_fault_are_those_lark_would_accept(line: str, start: str) -> None:
    accepted = expected_by_lark(line, start)
    if accepted is not None:
        with pytest.raises(LineFault) as stop:
            PARSER.parse(line, start)
        assert stop.value.expected == accepted


def test_every_start_of_the_grammar_has_its_own_first_state() -> None:
    assert set(TABLES.starts) == set(STARTS)
    assert len({first for first, _ in TABLES.starts.values()}) == len(STARTS)


def test_tables_come_back_from_the_text_a_wheel_carries() -> None:
    assert from_json(to_json(TABLES)) == TABLES


@given(some.lines, starts)
def test_tables_from_a_wheel_read_as_those_of_the_grammar(line: str, start: str) -> None:
    carried = Parser(from_json(to_json(TABLES)))
    try:
        branch = PARSER.parse(line, start)
    except LineFault:
        return
    assert carried.parse(line, start) == branch

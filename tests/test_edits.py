"""Edits: what each helper changes, and texts with edits against the plain way."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lsp_client import applied

from ledger.editor.positions import Positions
from ledger.lint.fix import certain
from ledger.text.edits import (
    add_line,
    delete,
    delete_name,
    edited,
    over,
    to_text,
    write_clause,
)
from ledger.text.finding import Finding, Fix, Kind, Severity, TextEdit
from ledger.text.source import Source, TextRange

TEXTS = st.text(st.sampled_from("ab \t\r\n🙂é"), max_size=30)
RULE = Kind("a-rule", Severity.NOTE)


def place_of(text: str, words: str) -> TextRange:
    start = text.index(words)
    return TextRange(Source("a", text), 0, start, start + len(words))


def mended(text: str, fix: Fix) -> str:
    (source,) = edited([Source("a", text)], fix.edits)
    return source.text


@given(TEXTS, TEXTS)
def test_text_with_the_edits_to_another_is_that_text(text: str, other: str) -> None:
    source = Source("a", text)
    edits = to_text(source, other)
    assert bool(edits) == (text != other)
    assert [one.text for one in edited([source], edits)] == ([other] if edits else [])


@given(TEXTS, st.data())
def test_text_with_edits_is_what_an_editor_makes_of_it(text: str, data: st.DataObject) -> None:
    source, positions = Source("a", text), Positions(text)
    ends = [
        (number, column)
        for number, line in enumerate(source.lines)
        for column in range(len(line) + 1)
        # Between a return and its line feed no editor has a place.
        if not line[:column].endswith("\r") or column == 0
    ] + [(len(source.lines), 0)]
    places = sorted(data.draw(st.lists(st.sampled_from(ends), unique=True, max_size=6)))
    pairs = zip(places[::2], places[1::2], strict=False)
    edits = [TextEdit("a", *low, *high, data.draw(TEXTS)) for low, high in pairs]
    plain: list[dict[str, Any]] = [
        {"range": {"start": at(positions, low), "end": at(positions, high)}, "newText": new}
        for low, high, new in ((one[1:3], one[3:5], one.new) for one in edits)
    ]
    found = edited([source, Source("b", text)], edits)
    assert [one.text for one in found] == ([applied(text, plain)] if edits else [])


def at(positions: Positions, place: tuple[int, int]) -> dict[str, int]:
    position = positions.at(*place)
    return {"line": position.line, "character": position.character}


@pytest.mark.parametrize(
    ("text", "name", "less"),
    [
        ("  a  after b  by c", "b", "  a  by c"),
        ("  a  after b, c  # d", "b", "  a  after c  # d"),
        ("  a  after b , c,d", "c", "  a  after b,d"),
        ("  a  after b,c", "c", "  a  after b"),
        ("  a  by bo or ca or do", "bo", "  a  by ca or do"),
        ("  a  by bo then ca", "ca", "  a  by bo"),
        ("  a  by bo and ca", "bo", "  a  by ca"),
        ("  a  by bo and ca and do", "do", "  a  by bo and ca"),
        ("  a  by each of bo, ca", "bo", "  a  by each of ca"),
        ("  a  except bo, may  by ca", "may", "  a  except bo  by ca"),
        ("  a  except bo  by ca", "bo", "  a  by ca"),
        ('  a "t"\tuses\t b "u"', "b", '  a "t" "u"'),
    ],
)
def test_name_goes_out_of_its_list_and_the_last_one_with_its_keyword(
    text: str, name: str, less: str
) -> None:
    fix = delete_name(place_of(text, name))
    assert (fix.title, mended(text, fix)) == (f"Delete `{name}`", less)


@pytest.mark.parametrize(
    ("text", "more"),
    [
        ("  a", "  a  in b"),
        ("  a  5 min \t", "  a  5 min  in b \t"),
        ('  a  5 min "in \\" x" # y', '  a  5 min  in b "in \\" x" # y'),
        ("  a # y", "  a  in b # y"),
    ],
)
def test_clause_stands_before_title_and_comment(text: str, more: str) -> None:
    assert mended(text, write_clause(Source("a", text), 0, "in b")) == more


def test_words_go_with_the_blanks_at_their_side_and_with_a_line_that_has_no_others() -> None:
    text = "  a  # b"
    assert mended(text, delete(place_of(text, "# b"))) == "  a"
    assert mended(text, delete(place_of(text, "a"))) == "  # b"
    assert mended(" # b \nc", delete(place_of(" # b \nc", "# b"))) == "c"
    assert mended("a\n# b", delete(TextRange(Source("a", "a\n# b"), 1, 0, 3))) == "a\n"


@pytest.mark.parametrize(
    ("text", "line", "more"),
    [
        ("a\nc\n", 0, "a\nb\nc\n"),
        ("a\r\nc", 1, "a\r\nc\r\nb"),
        ("", None, "b\n"),
        ("\r\nc", None, "b\r\n\r\nc"),
    ],
)
def test_line_is_added_below_another_or_on_top(text: str, line: int | None, more: str) -> None:
    source = Source("a", text)
    above = None if line is None else TextRange(source, line, 0, 1)
    assert mended(text, add_line(above, source, "b")) == more


def test_words_of_a_fix_are_its_title_in_a_sentence() -> None:
    assert delete(place_of("a b", "b")).words == "delete `b`"


# ------------------------------------------------------------------- what is certain


def finding(*fixes: Fix) -> Finding:
    return RULE.finding(place_of("abcdef", "a"), "m", "w", "f", fixes=fixes)


def fix(words: str, is_certain: bool = True) -> Fix:
    return Fix(words, (over(place_of("abcdef", words), ""),), is_certain)


def test_only_the_first_fix_of_a_finding_is_applied_and_only_if_it_is_certain() -> None:
    assert certain([finding(fix("a", False), fix("b"))]) == []
    assert certain([finding(fix("a"), fix("b"))]) == [*fix("a").edits]
    assert certain([finding()]) == []


def test_fixes_of_one_more_rule_are_applied_where_it_is_named() -> None:
    assert certain([finding(fix("a", False))], "a-rule") == [*fix("a").edits]
    assert certain([finding(fix("a", False))], "another-rule") == []


def test_of_fixes_that_reach_into_each_other_the_first_that_ends_is_applied() -> None:
    found = [finding(fix(words)) for words in ("abc", "ab", "bc", "cd", "ef", "ef")]
    kept = [edit for words in ("ab", "cd", "ef") for edit in fix(words).edits]
    assert certain(found) == kept


def test_fix_that_takes_long_is_worked_out_when_it_is_first_read() -> None:
    asked = []

    def make() -> tuple[Fix, ...]:
        asked.append(1)
        return (fix("a"),)

    late = RULE.finding(place_of("abcdef", "a"), "m", "w", "f", fixes=make)
    assert (late.fix, asked) == ("f", [])
    assert (late.fixes, late.fixes, asked) == ((fix("a"),), (fix("a"),), [1])

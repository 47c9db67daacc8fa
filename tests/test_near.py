"""The nearest word, however many are known: the same answer as by trying each of them in turn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from unittest.mock import patch

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from ledger.household.names import Stranger
from ledger.text import near as module
from ledger.text.near import Near, nearest, shorter, slips
from ledger.text.source import Source, TextRange

# Few letters, so that many words are near; some that fold to more letters, or to each other.
WORD = st.text("abBé-ßſS", min_size=1, max_size=8)
LONG = st.builds(lambda head, word, tail: head * 14 + word + tail * 14, WORD, WORD, WORD)
KNOWN = st.lists(WORD, max_size=12)


def distance(one: str, other: str) -> int:
    """Optimal string alignment by its definition (Boytsov 2011, section 2.1.1), cell by cell."""
    table = {(row, 0): row for row in range(len(one) + 1)}
    table |= {(0, column): column for column in range(len(other) + 1)}
    for row in range(1, len(one) + 1):
        for column in range(1, len(other) + 1):
            same = one[row - 1] == other[column - 1]
            table[row, column] = min(
                table[row - 1, column] + 1,
                table[row, column - 1] + 1,
                table[row - 1, column - 1] + (not same),
            )
            if row > 1 and column > 1 and one[row - 2 : row] == other[column - 2 : column][::-1]:
                table[row, column] = min(table[row, column], table[row - 2, column - 2] + 1)
    return table[len(one), len(other)]


def plain(word: str, known: Sequence[str], most: int) -> str | None:
    """The nearest by its definition: each known word in turn, the fewest slips first."""
    most = 1 if len(word) <= 4 else most
    ranked = [
        (distance(word.casefold(), choice.casefold()), choice)
        for choice in known
        if choice != word and abs(len(choice) - len(word)) <= most
    ]
    return min((one for one in ranked if one[0] <= most), default=(0, None))[1]


@given(WORD | st.just(""), WORD | st.just(""), st.integers(0, 4))
@example("ab", "ba", 1)
@example("ca", "abc", 2)
@example("xab", "xba", 0)
def test_slips_are_counted_as_far_as_they_matter(one: str, other: str, most: int) -> None:
    real = distance(one, other)
    assert slips(one, other, most) == (real if real <= most else None)


@given(WORD, KNOWN, st.integers(1, 2))
def test_nearest_is_by_definition_the_nearest(word: str, known: list[str], most: int) -> None:
    assert nearest(word, known, most) == plain(word, known, most)


@given(st.lists(WORD, min_size=1, max_size=6), KNOWN)
def test_near_of_short_words_is_the_nearest(words: list[str], known: list[str]) -> None:
    near = Near(known)
    assert [near.of(word) for word in words] == [plain(word, known, 2) for word in words]


@given(st.lists(LONG, min_size=1, max_size=3), st.lists(LONG, max_size=8), st.integers(0, 3))
def test_near_of_long_words_is_the_nearest(words: list[str], known: list[str], cut: int) -> None:
    # Beside them such as are near to each, around the length at which long begins.
    known = [
        *known,
        *(word[cut:] + "b" for word in words),
        *(word[cut : 24 + cut] for word in words),
    ]
    near = Near(known)
    for word in (*words, *(word[:25] for word in words)):
        assert near.of(word) == plain(word, known, 2)


@given(WORD, WORD, st.integers(0, 2))
def test_words_so_many_slips_apart_share_what_is_left_of_them(
    one: str, other: str, most: int
) -> None:
    if distance(one, other) <= most:
        assert shorter(one, most) & shorter(other, most)


@pytest.mark.parametrize(("slip", "most"), [("z", 12), ("zz", 40)])
def test_few_of_many_known_words_are_looked_at(slip: str, most: int) -> None:
    known = [
        f"aaaa-{one}{two}{three}" for one in "abcdefgh" for two in "abcdefgh" for three in "ab"
    ]
    near = Near(known)
    with patch.object(module, "slips", wraps=slips) as looked:
        for word in known:
            assert near.of(word + slip) == nearest(word + slip, known)
            assert near._by_shortened
    plainly = len(known) * len(known)
    assert looked.call_count - plainly <= most * len(known)


def test_nobody_looks_for_the_nearest_name_before_the_fix_is_read() -> None:
    place = TextRange(Source("home.chores", "ovn"), 0, 0, 3)
    with patch.object(Near, "of", return_value="oven") as asked:
        finding = Stranger("chore", "ovn", Near(["oven"])).at(place)
        assert not asked.called
        assert finding.fix == "write `oven`, the closest, or add a line `ovn 10 min`"
        assert finding.fix
    assert asked.call_count == 1


def test_findings_are_equal_whenever_their_fixes_are_worked_out() -> None:
    place, other = (TextRange(Source("home.chores", "ovn ovn"), 0, n, n + 3) for n in (0, 4))
    late = Stranger("chore", "ovn", Near(["oven"])).at(place)
    read = Stranger("chore", "ovn", Near(["oven"])).at(place)
    assert read.fix
    assert late == read
    assert hash(late) == hash(read)
    assert late != Stranger("chore", "ovn", Near(["broom"])).at(place)
    moved = Stranger("chore", "ovn", Near(["oven"])).at(place).moved(other)
    assert (moved.place, moved.line) == (other, ("home.chores", 0))
    assert moved == replace(read, place=other)
    with pytest.raises(AttributeError):
        _ = late.cure  # type: ignore[attr-defined]

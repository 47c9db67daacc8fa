"""What changed between two rows, and a source of which a stretch changed."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ledger.text.changed import changed
from ledger.text.source import Source

ROWS = st.lists(st.integers(0, 2), max_size=9)


@given(ROWS, ROWS, ROWS, ROWS)
def test_stretch_is_all_that_changed_and_no_more(
    above: list[int], old: list[int], new: list[int], below: list[int]
) -> None:
    before, after = above + old + below, above + new + below
    found = changed((before, after))
    assert before[: found.first] == after[: found.first]
    assert before[found.end :] == after[found.new_end :]
    assert found.first <= found.end
    assert found.first <= found.new_end
    assert found.size <= len(old) + len(new)
    if found.size and found.end > found.first and found.new_end > found.first:
        assert before[found.first] != after[found.first]
        assert before[found.end - 1] != after[found.new_end - 1]


@given(ROWS, st.data())
def test_stretch_of_two_columns_holds_the_changes_of_both(
    row: list[int], data: st.DataObject
) -> None:
    if not row:
        return
    places = data.draw(st.sets(st.integers(0, len(row) - 1), min_size=2, max_size=2) if len(row) > 1
                       else st.just({0}))  # fmt: skip
    one, other = list(row), list(row)
    one[min(places)] += 5
    other[max(places)] += 5
    found = changed((row, one), (row, other))
    assert found == (min(places), max(places) + 1, max(places) + 1)


@given(st.text("a\n\r\ufeff", max_size=12), st.text("b\n\r", max_size=5), st.data())
def test_source_of_which_a_stretch_changed_is_the_one_made_anew(
    text: str, new: str, data: st.DataObject
) -> None:
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, len(text)))
    source = Source("a.chores", text)
    anew = Source("a.chores", text[:start] + new + text[end:])
    found = source.spliced(start, end, new)
    assert found == anew
    assert found.lines == anew.lines

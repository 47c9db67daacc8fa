"""The rule of matching against the same rule without any search, of random windows."""

from __future__ import annotations

import pytest
from books import Span, day, house, iso
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle import Row, Slot
from whole import standings

from ledger.calendar.windows import Window
from ledger.keeping.matching import MatchedWindow, RecordReference, match
from ledger.keeping.status import State

ROUTINE = house("since 2026-01-01", "every day", "    x  5 min").chores["x"].routines[0]


@st.composite
def windows(draw: st.DrawFn) -> list[Window]:
    """Up to six windows, apart and in order; some excused."""
    found, day = [], 0
    for _ in range(draw(st.integers(0, 6))):
        first = day + draw(st.integers(1, 9))
        day = first + draw(st.sampled_from([0, 0, 1, 6]))
        excused = draw(st.sampled_from([False, False, False, True]))
        found.append(Window(first, day, ROUTINE, excused))
    return found


@st.composite
def marks(draw: st.DrawFn) -> list[RecordReference]:
    """Lines in order of date, one in four of them a move."""
    days = sorted(draw(st.lists(st.integers(0, 60), max_size=9)))
    verbs = st.sampled_from(["did", "did", "skipped", "moved"])
    found = []
    for line, on in enumerate(days):
        verb = draw(verbs)
        to = draw(st.integers(on - 5, on + 15)) if verb == "moved" else None
        found.append(RecordReference(on, verb, to, line))
    return found


def as_slots(found: list[MatchedWindow]) -> list[Slot]:
    return [Slot(one.first, one.last, one.mark.line if one.mark else None) for one in found]


@settings(max_examples=400)
@given(windows(), marks())
def test_lines_take_the_windows_that_the_rule_gives_them(
    given_windows: list[Window], lines: list[RecordReference]
) -> None:
    row = Row([Slot(one.first, one.last) for one in given_windows if not one.excused])
    for mark in lines:
        row.take(mark.day, mark.to, mark.line)
    found, extras = match(given_windows, lines)
    assert as_slots(found) == row.slots
    assert [mark.line for mark in extras] == row.extras


TWO = [(10, 12), (20, 20)]


@pytest.mark.parametrize(
    ("days", "settled", "extra"),
    [
        ([11], [0, None], []),
        ([11, 12], [0, None], [1]),
        ([15], [0, None], []),
        ([16], [0, None], []),
        ([17], [None, 0], []),
        ([11, 13], [0, 1], []),
        ([20, 21], [None, 0], [1]),
        ([2], [0, None], []),
        ([30], [None, 0], []),
        ([11, 15, 17], [0, 1], [2]),
    ],
)
def test_a_line_is_late_for_the_window_before_or_early_for_the_one_after(
    days: list[int], settled: list[int | None], extra: list[int]
) -> None:
    book = [Window(first, last, ROUTINE) for first, last in TWO]
    found, extras = match(
        book, [RecordReference(day, "did", None, n) for n, day in enumerate(days)]
    )
    assert [one.mark.line if one.mark else None for one in found] == settled
    assert [mark.line for mark in extras] == extra


@pytest.mark.parametrize(
    ("to", "wanted"),
    [(5, (5, 5)), (15, (15, 15)), (19, (19, 19)), (20, (10, 12)), (25, (10, 12))],
)
def test_a_window_moves_up_to_its_neighbour_and_not_onto_it(to: int, wanted: Span) -> None:
    book = [Window(first, last, ROUTINE) for first, last in TWO]
    found, extras = match(book, [RecordReference(11, "moved", to, 0)])
    assert (found[0].first, found[0].last) == wanted
    assert (found[1].first, found[1].last) == TWO[1]
    assert bool(extras) == (wanted == TWO[0])


@pytest.mark.parametrize(
    ("on", "more", "wanted"),
    [
        ("2026-03-08", (), ("done", "2026-03-02")),
        ("2026-03-12", (), ("due", "2026-03-12")),
        ("2026-03-14", (), ("overdue", "2026-03-12")),
        ("2026-03-14", ("2026-03-13 moved x to 2026-03-15",), ("done", "2026-03-02")),
        ("2026-03-15", ("2026-03-13 moved x to 2026-03-15",), ("due", "2026-03-15")),
        ("2026-03-17", ("2026-03-12 did x",), ("done", "2026-03-12")),
        ("2026-03-18", ("2026-03-12 did x",), ("due", "2026-03-18")),
        ("2026-03-18", ("2026-03-12 skipped x",), ("due", "2026-03-18")),
    ],
)
def test_a_chore_after_done_is_moved_this_once(
    on: str, more: tuple[str, ...], wanted: tuple[State, str]
) -> None:
    record = ("2026-03-02 did x", "2026-03-05 moved x to 2026-03-12", *more)
    book = house("since 2026-03-01", "6 days after done", "    x  5 min", *record)
    (one,) = standings(book, day(on))
    assert (one.state, iso(one.first)) == wanted

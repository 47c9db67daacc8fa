"""How many windows the rule of matching settles, against a maximum bipartite matching.

A line may settle the window that holds its day, or else either neighbour. The largest number
of windows that some lines can settle is found by networkx, Hopcroft and Karp's algorithm
(Hopcroft and Karp, "An n^5/2 algorithm for maximum matchings in bipartite graphs", SIAM
Journal on Computing 2, 1973). The rule asks what a person meant by a line, on the day it was
written; so it settles fewer where a later line would have had it otherwise, and the cases
below say where that is meant.
"""

from __future__ import annotations

from collections.abc import Sequence

import networkx as nx
import pytest
from books import Span, house
from hypothesis import given
from hypothesis import strategies as st

from ledger.calendar.windows import Window
from ledger.keeping.matching import RecordReference, match

ROUTINE = house("since 2026-01-01", "every day", "    x  5 min").chores["x"].routines[0]


def candidates(windows: Sequence[Span], day: int) -> list[int]:
    """The windows that a line of a day may settle: the one that holds it, or its neighbours."""
    holding = [n for n, (first, last) in enumerate(windows) if first <= day <= last]
    if holding:
        return holding
    before = [n for n, (_, last) in enumerate(windows) if last < day][-1:]
    return before + [n for n, (first, _) in enumerate(windows) if first > day][:1]


def most(windows: Sequence[Span], days: Sequence[int]) -> int:
    """How many windows the lines could settle at most."""
    graph: nx.Graph[tuple[str, int]] = nx.Graph()
    lines = [("line", n) for n in range(len(days))]
    graph.add_nodes_from(lines)
    for line, day in zip(lines, days, strict=True):
        graph.add_edges_from((line, ("window", n)) for n in candidates(windows, day))
    return len(nx.bipartite.hopcroft_karp_matching(graph, lines)) // 2


def settled(windows: Sequence[Span], days: Sequence[int]) -> int:
    """How many windows the rule settles."""
    marks = [RecordReference(day, "did", None, n) for n, day in enumerate(days)]
    found, _ = match([Window(first, last, ROUTINE) for first, last in windows], marks)
    return sum(occasion.mark is not None for occasion in found)


@st.composite
def rows(draw: st.DrawFn) -> list[Span]:
    """Windows in order and apart."""
    spans, day = [], 10
    for length, gap in draw(
        st.lists(st.tuples(st.integers(1, 4), st.integers(0, 9)), min_size=1, max_size=9)
    ):
        spans.append((day, day + length - 1))
        day += length + gap
    return spans


def days_of(spans: Sequence[Span]) -> st.SearchStrategy[list[int]]:
    return st.lists(st.integers(1, spans[-1][1] + 9), max_size=14).map(sorted)


def looks_back(spans: Sequence[Span], day: int) -> bool:
    """True for a day inside a window, or no nearer to the one after it than to the one before."""
    found = candidates(spans, day)
    if len(found) == 1:
        return spans[found[0]][0] <= day
    return day - spans[found[0]][1] <= spans[found[1]][0] - day


@given(st.data())
def test_the_most_windows_are_settled_where_nothing_is_done_early(data: st.DataObject) -> None:
    spans = data.draw(rows())
    days = [day for day in data.draw(days_of(spans)) if looks_back(spans, day)]
    assert settled(spans, days) == most(spans, days)


@given(st.data())
def test_every_line_settles_one_where_each_gap_between_windows_has_a_line_at_most(
    data: st.DataObject,
) -> None:
    spans = data.draw(rows())
    gaps: dict[tuple[int, ...], int] = {}
    for day in data.draw(days_of(spans)):
        if len(candidates(spans, day)) == 2:
            gaps[tuple(candidates(spans, day))] = day
    days = sorted(gaps.values())
    assert settled(spans, days) == most(spans, days) == len(days)


@given(st.data())
def test_at_least_half_of_the_most_are_settled_whatever_was_written(data: st.DataObject) -> None:
    spans = data.draw(rows())
    days = data.draw(days_of(spans))
    assert most(spans, days) <= 2 * settled(spans, days)


WEEKLY = [(2, 2), (9, 9), (16, 16)]


@pytest.mark.parametrize(
    ("days", "settles", "at_most", "meant"),
    [
        ([8, 9], 1, 2, "the 8th is for the 9th; doing it again does not mend the 2nd"),
        ([6, 9], 1, 2, "the 6th is nearer to the 9th, and nobody knew then of another"),
        ([9, 10, 11], 2, 2, "the 11th does not reach back over the 9th to the 2nd"),
        ([7, 13, 14], 2, 3, "once it is early it stays so: the 14th is one too many"),
        ([9, 15, 16], 2, 2, "the 16th was done on the 15th; the 2nd stays missed"),
        ([2, 8, 9, 16], 3, 3, "a second time inside a week changes nothing"),
    ],
)
def test_fewer_are_settled_where_a_line_meant_what_it_meant_on_its_day(
    days: list[int], settles: int, at_most: int, meant: str
) -> None:
    assert (settled(WEEKLY, days), most(WEEKLY, days)) == (settles, at_most), meant

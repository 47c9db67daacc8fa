"""Load: the demand criterion against brute force and against flows."""

from __future__ import annotations

import networkx as nx
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.planning.load import Demand, Overload, overloads

START = 100


@st.composite
def cases(draw: st.DrawFn) -> tuple[list[Demand], list[int | None]]:
    days = draw(st.integers(1, 7))
    limits = draw(st.lists(st.one_of(st.none(), st.integers(0, 40)), min_size=days, max_size=days))
    demands = []
    for index in range(draw(st.integers(0, 7))):
        first = draw(st.integers(0, days - 1))
        last = draw(st.integers(first, days - 1))
        demands.append(
            Demand(START + first, START + last, draw(st.integers(1, 40)), f"chore{index}")
        )
    return demands, limits


def unfit(demands: list[Demand], limits: list[int | None]) -> set[tuple[int, int]]:
    """Every span whose windows need more than its limits, by trying them all."""
    found = set()
    for first in range(len(limits)):
        for last in range(first, len(limits)):
            room = 0
            for limit in limits[first : last + 1]:
                room = -1 if limit is None or room < 0 else room + limit
            inside = [d for d in demands if START + first <= d.first and d.last <= START + last]
            if room >= 0 and sum(d.minutes for d in inside) > room:
                found.add((START + first, START + last))
    return found


def splits(demands: list[Demand], limits: list[int | None]) -> bool:
    """True where minutes can be split over the days of their windows: a maximum flow.

    networkx, `maximum_flow_value`: every minute runs from its window over a day to the end.
    """
    graph: nx.DiGraph[object] = nx.DiGraph()
    graph.add_nodes_from(["start", "end"])
    for demand in demands:
        graph.add_edge("start", demand, capacity=demand.minutes)
        for day in range(demand.first, demand.last + 1):
            graph.add_edge(demand, day)
    for offset, limit in enumerate(limits):
        if limit is None:
            graph.add_edge(START + offset, "end")
        else:
            graph.add_edge(START + offset, "end", capacity=limit)
    flow = nx.maximum_flow_value(graph, "start", "end")
    return int(flow) == sum(demand.minutes for demand in demands)


@given(cases())
def test_a_span_is_reported_exactly_when_no_splitting_fits(
    case: tuple[list[Demand], list[int | None]],
) -> None:
    """Hall's theorem as a flow; the criterion after Baruah, Rosier and Howell 1990, as below."""
    demands, limits = case
    assert (overloads(demands, limits, START) == []) == splits(demands, limits)


@settings(max_examples=1000)
@given(cases())
def test_reported_spans_are_the_smallest_that_do_not_fit(
    case: tuple[list[Demand], list[int | None]],
) -> None:
    demands, limits = case
    every = unfit(demands, limits)
    smallest = {
        span
        for span in every
        if not any(other != span and span[0] <= other[0] and other[1] <= span[1] for other in every)
    }
    found = overloads(demands, limits, START)
    assert {(one.first, one.last) for one in found} == smallest
    assert [one.last for one in found] == sorted(one.last for one in found)


@given(cases())
def test_a_report_names_the_minutes_the_limit_and_the_chores_of_its_span(
    case: tuple[list[Demand], list[int | None]],
) -> None:
    demands, limits = case
    for one in overloads(demands, limits, START):
        inside = [d for d in demands if one.first <= d.first and d.last <= one.last]
        room = sum(limits[day - START] or 0 for day in range(one.first, one.last + 1))
        assert one.minutes == sum(d.minutes for d in inside) > one.limit == room
        assert one.chores == tuple(d.label for d in inside)


def test_worked_example_of_one_off_windows_with_a_daily_budget() -> None:
    """The demand criterion for windows of days: a standard result, stated from memory."""
    windows = [(1, 1, 30), (1, 2, 30), (2, 3, 20)]
    fits = [Demand(a, b, minutes, f"{n}") for n, (a, b, minutes) in enumerate(windows)]
    assert overloads(fits, [30, 30, 30], 1) == []
    longer = [fits[0], fits[1]._replace(minutes=40), fits[2]]
    assert overloads(longer, [30, 30, 30], 1) == [Overload(1, 2, 70, 60, ("0", "1"))]


def test_worked_example_of_the_processor_demand_criterion() -> None:
    """Baruah, Rosier and Howell, "Algorithms and complexity concerning the preemptive scheduling
    of periodic, real-time tasks on one processor", Real-Time Systems 2, 1990 (reported): tasks
    of cost, period and deadline (2,4,3),(3,8,7) fit; (2,4,2),(3,8,5) fail at 6, with 7 wanted.
    """

    def jobs(*tasks: tuple[int, int, int]) -> list[Demand]:
        return [
            Demand(release, release + deadline - 1, cost, f"{cost}")
            for cost, period, deadline in tasks
            for release in range(0, 16, period)
        ]

    unit: list[int | None] = [1] * 24
    assert overloads(jobs((2, 4, 3), (3, 8, 7)), unit, 0) == []
    first = overloads(jobs((2, 4, 2), (3, 8, 5)), unit, 0)[0]
    assert (first.first, first.last, first.minutes, first.limit) == (0, 5, 7, 6)

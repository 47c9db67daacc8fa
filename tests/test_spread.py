"""Spread: days for windows against HiGHS, flows, published bounds, and every step left undone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from itertools import combinations, product
from random import Random

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import (  # type: ignore[import-untyped]
    Bounds,
    LinearConstraint,
    milp,
)
from scipy.sparse import lil_array  # type: ignore[import-untyped]

from ledger.planning.load import Demand
from ledger.planning.placing import NO_LIMIT, Item, Plan, longest_first
from ledger.planning.search import left_over
from ledger.planning.spread import Spread, spread

Limits = dict[int, int | None]
Pairs = Sequence[tuple[int, int]]
START = 100


@st.composite
def cases(draw: st.DrawFn) -> tuple[list[Demand], Limits, int, dict[int, int]]:
    """Windows, limits, how many days, and what stands on them already."""
    count = draw(st.integers(1, 7))
    days = range(START, START + count)
    limits = {day: draw(st.none() | st.integers(0, 40)) for day in days}
    taken = {day: draw(st.integers(0, 30)) for day in days if draw(st.booleans())}
    demands = []
    for index in range(draw(st.integers(0, 7))):
        last = draw(st.integers(START, days[-1]))
        first = draw(st.integers(START - 3, last))
        demands.append(Demand(first, last, draw(st.integers(0, 40)), f"chore{index}"))
    return demands, limits, count, taken


def random_case(random: Random, days: int, windows: int, lengths: Sequence[int]) -> list[Demand]:
    demands = []
    for index in range(windows):
        length = random.choice(lengths)
        first = START + random.randrange(days - length + 1)
        demands.append(Demand(first, first + length - 1, random.randint(1, 60), f"{index}"))
    return demands


def weighed(
    demands: Sequence[Demand], days: Sequence[int], limits: Limits, taken: Mapping[int, int]
) -> tuple[int, int]:
    """Excess and heaviest day of windows put on days, counted anew."""
    loads = {day: taken.get(day, 0) for day in limits}
    for demand, day in zip(demands, days, strict=True):
        loads[day] += demand.minutes
    over = (loads[day] - limit for day, limit in limits.items() if limit is not None)
    return sum(max(0, minutes) for minutes in over), max(loads.values())


def optimum(demands: Sequence[Demand], limits: Limits, apart: Pairs = ()) -> tuple[int, int, int]:
    """The fewest pairs together, the least excess with them, and the lightest heaviest day with
    both, by three mixed-integer programs.

    scipy 1.9 and later, `milp` (HiGHS): a window on a day is 0 or 1, and so is a pair together.
    """
    days = sorted(limits)
    places = [(n, day) for n, one in enumerate(demands) for day in range(one.first, one.last + 1)]
    columns = {place: column for column, place in enumerate(places)}
    near = [
        (columns[one, day], columns[other, day])
        for one, other in apart
        for day in days
        if (one, day) in columns and (other, day) in columns
    ]
    width = len(places) + len(days) + 1 + len(near)
    weight = len(places) + len(days)
    rows = len(demands) + 2 * len(days) + 2 + len(near)
    matrix = lil_array((rows, width))
    low, high = np.full(rows, -np.inf), np.zeros(rows)
    together = range(width - len(near), width)
    for row, (column, (one, other)) in enumerate(
        zip(together, near, strict=True), rows - len(near)
    ):
        matrix[row, one] = matrix[row, other] = 1
        matrix[row, column] = -1
        high[row] = 1
    low[: len(demands)] = high[: len(demands)] = 1
    for column, (n, day) in enumerate(places):
        offset = len(demands) + 2 * (day - days[0])
        matrix[n, column] = 1
        matrix[offset, column] = matrix[offset + 1, column] = demands[n].minutes
    for column, day in enumerate(days):
        offset, limit = len(demands) + 2 * column, limits[day]
        matrix[offset, len(places) + column] = matrix[offset + 1, weight] = -1
        high[offset] = np.inf if limit is None else limit
    of_excess, of_pairs = len(demands) + 2 * len(days), len(demands) + 2 * len(days) + 1
    matrix[of_excess, len(places) : weight] = 1
    high[of_excess] = np.inf
    for column in together:
        matrix[of_pairs, column] = 1
    high[of_pairs] = np.inf
    kinds = np.array([1] * len(places) + [0] * (len(days) + 1) + [1] * len(near))
    bounds = Bounds(0, np.where(kinds, 1, np.inf))

    def least(cost: np.ndarray[tuple[int], np.dtype[np.float64]]) -> int:
        within = LinearConstraint(matrix.tocsr(), low, high)
        found = milp(cost, constraints=within, integrality=kinds, bounds=bounds)
        assert found.success
        value: float = found.fun
        return round(value)

    met, excess, heaviest = np.zeros(width), np.zeros(width), np.zeros(width)
    met[together.start :] = 1
    high[of_pairs] = pairs = least(met)
    excess[len(places) : weight] = 1
    high[of_excess] = beyond = least(excess)
    heaviest[weight] = 1
    return pairs, beyond, least(heaviest)


# ------------------------------------------------------------------------------- against HiGHS


@pytest.mark.parametrize("seed", range(200))
def test_few_windows_get_the_best_days_and_the_proof_of_it(seed: int) -> None:
    random = Random(seed)
    count = random.randint(1, 7)
    demands = random_case(random, count, random.randint(1, 10), range(1, count + 1))
    limits = {START + n: random.choice([None, 0, 45, 60, 90]) for n in range(count)}
    found = spread(demands, limits, START, START + count - 1)
    best = optimum(demands, limits)[1:]
    assert (found.excess, found.heaviest) == best
    assert (found.least_excess, found.least_heaviest) == best


@pytest.mark.parametrize("seed", range(40))
def test_bounds_of_many_windows_hold_and_no_answer_is_called_better_than_the_best(
    seed: int,
) -> None:
    random = Random(seed)
    demands = random_case(random, 28, random.randint(40, 60), (1, 2, 3, 7, 14, 28))
    kinds = [None, 60, 90, 120] if seed % 2 else [75, 90, 120]
    limits = {START + n: random.choice(kinds) for n in range(28)}
    found = spread(demands, limits, START, START + 27)
    best = optimum(demands, limits)[1:]
    assert found.least_excess <= best[0]
    assert found.least_heaviest <= best[1]
    assert best <= (found.excess, found.heaviest)


def random_pairs(random: Random, count: int, share: float) -> list[tuple[int, int]]:
    """Pairs of windows to keep apart, as the things of a few areas bring them about."""
    return [pair for pair in combinations(range(count), 2) if random.random() < share]


def together(days: Sequence[int], apart: Pairs) -> int:
    """How many pairs share a day."""
    return sum(days[one] == days[other] for one, other in apart)


@pytest.mark.parametrize("seed", range(200))
def test_few_windows_are_kept_apart_at_no_more_cost_than_they_must_be(seed: int) -> None:
    random = Random(seed)
    count = random.randint(1, 7)
    demands = random_case(random, count, random.randint(2, 10), range(1, count + 1))
    apart = random_pairs(random, len(demands), random.choice([0.1, 0.3, 0.6]))
    limits = {START + n: random.choice([None, 0, 45, 60, 90]) for n in range(count)}
    found = spread(demands, limits, START, START + count - 1, None, apart)
    best = optimum(demands, limits, apart)
    assert (together(found.days, apart), found.excess, found.heaviest) == best
    assert (found.least_excess, found.least_heaviest) == best[1:]


@pytest.mark.parametrize("seed", range(20))
def test_many_windows_are_kept_apart_and_their_bounds_hold(seed: int) -> None:
    random = Random(seed)
    demands = random_case(random, 28, random.randint(30, 45), (1, 2, 3, 7, 14, 28))
    apart = random_pairs(random, len(demands), random.choice([0.01, 0.03, 0.1]))
    limits = {START + n: random.choice([None, 60, 90, 120]) for n in range(28)}
    found = spread(demands, limits, START, START + 27, None, apart)
    best = optimum(demands, limits, apart)
    assert together(found.days, apart) == best[0]
    assert found.least_excess <= best[1]
    assert found.least_heaviest <= best[2]
    assert best[1:] <= (found.excess, found.heaviest)


# ----------------------------------------------------------------------------------- what it says


@given(cases())
def test_every_window_stands_on_one_of_its_days_and_the_figures_are_theirs(
    case: tuple[list[Demand], Limits, int, dict[int, int]],
) -> None:
    demands, limits, count, taken = case
    found = spread(demands, limits, START, START + count - 1, taken)
    for demand, day in zip(demands, found.days, strict=True):
        assert max(demand.first, START) <= day <= max(demand.last, START)
    assert (found.excess, found.heaviest) == weighed(demands, found.days, limits, taken)
    assert (found.least_excess, found.least_heaviest) <= (found.excess, found.heaviest)


@given(cases())
def test_no_other_days_for_a_few_windows_are_better(
    case: tuple[list[Demand], Limits, int, dict[int, int]],
) -> None:
    demands, limits, count, taken = case
    demands = demands[:5]
    found = spread(demands, limits, START, START + count - 1, taken)
    choices = product(*(range(max(one.first, START), one.last + 1) for one in demands))
    best = min(weighed(demands, days, limits, taken) for days in choices)
    assert (found.excess, found.heaviest) == best == found[3:]


def squares(
    demands: Sequence[Demand], days: Sequence[int], limits: Limits, taken: Mapping[int, int]
) -> tuple[int, int]:
    """Excess, and the sum of the squares of the days."""
    loads = {day: taken.get(day, 0) for day in limits}
    for demand, day in zip(demands, days, strict=True):
        loads[day] += demand.minutes
    return weighed(demands, days, limits, taken)[0], sum(load * load for load in loads.values())


@given(cases())
def test_no_window_moved_alone_and_no_two_that_change_places_leave_the_days_more_even(
    case: tuple[list[Demand], Limits, int, dict[int, int]],
) -> None:
    demands, limits, count, taken = case
    days = list(spread(demands, limits, START, START + count - 1, taken).days)
    settled = squares(demands, days, limits, taken)
    for n, one in enumerate(demands):
        for day in range(max(one.first, START), one.last + 1):
            moved = [*days[:n], day, *days[n + 1 :]]
            assert squares(demands, moved, limits, taken) >= settled
            for m, other in enumerate(demands):
                if days[m] == day and other.first <= days[n] <= other.last:
                    swapped = [*moved]
                    swapped[m] = days[n]
                    assert squares(demands, swapped, limits, taken) >= settled


def test_of_equal_days_the_earlier_is_taken_and_a_day_with_room_before_one_without() -> None:
    one, other = Demand(1, 1, 30, "one"), Demand(1, 2, 20, "other")
    assert spread([other], {}, 1, 2).days == (1,)
    assert spread([one, other], {1: 60, 2: 10}, 1, 2).days == (1, 1)
    assert spread([one, other], {1: 45, 2: 30}, 1, 2).days == (1, 2)
    assert spread([other], {1: 45, 2: 30}, 1, 2, {1: 30}).days == (2,)


def test_closed_window_stands_on_the_first_day_and_one_without_minutes_where_it_opens() -> None:
    late, idle = Demand(1, 3, 20, "late"), Demand(7, 9, 0, "idle")
    assert spread([late, idle], {5: 10}, 5, 9) == Spread((5, 7), 10, 20, 10, 20)


def test_nothing_to_spread_weighs_what_stands_already() -> None:
    assert spread([], {1: 10, 2: None}, 1, 2, {1: 15, 2: 5, 3: 99}) == Spread((), 5, 15, 5, 15)
    assert spread([], {}, 1, 0) == Spread((), 0, 0, 0, 0)


# ------------------------------------------------------------------------------ longest job first


def by_hand(demands: Sequence[Demand], limits: Limits) -> tuple[int, int]:
    """Longest first, each on the day of least new excess and then on the lightest."""
    loads = dict.fromkeys(limits, 0)
    chosen = {}
    for n in sorted(range(len(demands)), key=lambda n: -demands[n].minutes):
        one = demands[n]

        def cost(day: int, minutes: int = one.minutes) -> tuple[int, int]:
            limit = limits[day]
            if limit is None:
                return 0, loads[day]
            return max(loads[day] + minutes - limit, 0) - max(loads[day] - limit, 0), loads[day]

        chosen[n] = min(range(one.first, one.last + 1), key=cost)
        loads[chosen[n]] += one.minutes
    return weighed(demands, [chosen[n] for n in range(len(demands))], limits, {})


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize(("days", "windows"), [(14, 25), (28, 60), (371, 500)])
def test_answer_is_never_worse_than_longest_first(days: int, windows: int, seed: int) -> None:
    random = Random(seed)
    demands = random_case(random, days, windows, (1, 2, 3, 7, 14))
    every: list[list[int | None]] = [[None], [None, 60], [45, 60, 90], [0, 200]]
    kinds = random.choice(every)
    limits = {START + n: random.choice(kinds) for n in range(days)}
    if days > 100 and seed > 4:
        demands = demands[: 20 * seed]
    found = spread(demands, limits, START, START + days - 1)
    assert (found.excess, found.heaviest) <= by_hand(demands, limits)


@pytest.mark.parametrize(
    ("minutes", "days", "longest_alone", "best"),
    [((30, 30, 20, 20, 20), 2, 70, 60), ((50, 50, 40, 40, 30, 30, 30), 3, 110, 90)],
)
def test_longest_first_alone_meets_its_published_worst_case_and_the_answer_the_best(
    minutes: tuple[int, ...], days: int, longest_alone: int, best: int
) -> None:
    """Graham, "Bounds on multiprocessing timing anomalies", SIAM Journal on Applied Mathematics
    17, 1969 (reported)."""
    plan = Plan([0] * days, [NO_LIMIT] * days)
    longest_first(plan, [Item(0, days - 1, one, n) for n, one in enumerate(minutes)])
    assert max(plan.loads) == longest_alone
    demands = [Demand(1, days, one, f"{n}") for n, one in enumerate(minutes)]
    found = spread(demands, {}, 1, days)
    assert found.heaviest == found.least_heaviest == best


@settings(max_examples=50)
@given(st.lists(st.integers(1, 60), min_size=1, max_size=7), st.integers(1, 3))
def test_longest_first_keeps_its_published_bound_where_every_day_is_open(
    minutes: list[int], days: int
) -> None:
    """Graham 1969, as above: no more than 4/3 - 1/(3m) times the best."""
    plan = Plan([0] * days, [NO_LIMIT] * days)
    ordered = sorted(minutes, reverse=True)
    longest_first(plan, [Item(0, days - 1, one, n) for n, one in enumerate(ordered)])
    choices = product(range(days), repeat=len(minutes))
    best = min(
        max(sum(m for m, day in zip(minutes, chosen, strict=True) if day == one) for one in chosen)
        for chosen in choices
    )
    assert max(plan.loads) <= (Fraction(4, 3) - Fraction(1, 3 * days)) * best


# --------------------------------------------------------------------------------------- the bound


@given(cases())
def test_minutes_left_over_are_those_of_no_splitting(
    case: tuple[list[Demand], Limits, int, dict[int, int]],
) -> None:
    """Against networkx, `maximum_flow_value`; after Glover, "Maximum matching in a convex
    bipartite graph", Naval Research Logistics Quarterly 14, 1967 (reported)."""
    demands, limits, count, _ = case
    room = [limits[START + n] or 0 for n in range(count)]
    jobs = [(max(one.first - START, 0), one.last - START, one.minutes) for one in demands]
    graph: nx.DiGraph[object] = nx.DiGraph()
    graph.add_nodes_from(["start", "end"])
    for n, (first, last, minutes) in enumerate(jobs):
        graph.add_edge("start", ("job", n), capacity=minutes)
        for day in range(first, last + 1):
            graph.add_edge(("job", n), day, capacity=minutes)
            graph.add_edge(day, "end", capacity=room[day])
    split = nx.maximum_flow_value(graph, "start", "end")
    over = left_over(sorted(jobs, key=lambda job: job[1]), list(room))
    assert over == sum(minutes for _, _, minutes in jobs) - split

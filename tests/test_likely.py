"""Likely: the quartiles of what chores take together, against the standard library."""

from __future__ import annotations

from itertools import product
from math import prod
from statistics import median, quantiles

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.planning.likely import Quartiles, quartiles

figures = st.one_of(st.integers(1, 8), st.integers(1, 9999))
samples = st.lists(st.lists(figures, min_size=1, max_size=6), max_size=5).filter(
    lambda some: 2 <= prod(map(len, some)) <= 2000
)


@given(samples, st.integers(0, 500))
def test_quartiles_are_those_of_every_total_that_can_be_drawn(
    some: list[list[int]], fixed: int
) -> None:
    """Against `statistics.quantiles`, its inclusive method, and `statistics.median`."""
    totals = [fixed + sum(drawn) for drawn in product(*some)]
    low, middle, high = quantiles(totals, n=4, method="inclusive")
    assert quartiles(some, fixed) == (low, middle, high)
    assert middle == median(totals)


@pytest.mark.parametrize("some", [[], [[5]], [[5], [7]]])
def test_one_possible_total_is_all_three(some: list[list[int]]) -> None:
    total = 30 + sum(only for (only,) in some)
    assert quartiles(some, 30) == Quartiles(total, total, total)


@given(samples)
def test_order_of_chores_and_figures_is_of_no_account(some: list[list[int]]) -> None:
    mixed = [sorted(sample, reverse=True) for sample in reversed(some)]
    assert quartiles(mixed) == quartiles(some)


def test_many_chores_are_symmetric_about_their_middle() -> None:
    """60 chores with 9 figures each can be drawn in 9 ** 60 ways, each sum as often as its
    mirror image, so the quartiles lie alike on both sides of the middle."""
    found = quartiles([list(range(1, 10))] * 60)
    assert found is not None
    low, middle, high = found
    assert middle == 300
    assert 300 - low == high - 300 > 0


def test_chores_of_one_person_each_draw_for_themselves() -> None:
    """Two dice: of 36 throws 10 come to 5 or less, 15 to 6 or less, and so on."""
    die = list(range(1, 7))
    assert quartiles([die, die]) == (5, 7, 9)


def test_one_mistyped_figure_among_many_chores_is_added_up_in_a_moment() -> None:
    """The week of 60 daily chores; the odd figure is in one draw of nine of one of them."""
    plain = [[9, 9, 10, 10, 10, 10, 10, 11, 11]] * 419
    found = quartiles([*plain[:9], [10] * 8 + [9999], *plain[9:]])
    assert found is not None
    assert 4150 < found.low < found.middle < found.high < 4250


def test_where_all_are_far_apart_nothing_is_said() -> None:
    assert quartiles([[10] * 8 + [9999 - n] for n in range(60)]) is None

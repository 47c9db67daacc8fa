"""Shares: parts of a whole number, by largest remainders."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil, floor

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.keeping.shares import apportion

WEIGHTS = st.lists(st.integers(0, 10_000), min_size=1, max_size=6)
TOTALS = st.integers(0, 10_000)


@pytest.mark.parametrize(
    ("total", "weights", "parts"),
    [(10, (7, 5, 3), (5, 3, 2)), (10, (6, 6, 2), (4, 4, 2)), (11, (6, 6, 2), (5, 5, 1))],
)
def test_worked_examples_of_largest_remainders(
    total: int, weights: tuple[int, ...], parts: tuple[int, ...]
) -> None:
    """After Balinski and Young, "Fair Representation", 1982 (reported); the two of 6, 6, 2 are its
    paradox, that of more in all one may have less."""
    assert apportion(total, weights) == parts


@pytest.mark.parametrize(
    ("total", "weights", "parts"),
    [
        (100, (1, 1, 1), (34, 33, 33)),
        (100, (2, 2, 2, 1), (29, 29, 28, 14)),
        (25, (1, 1), (13, 12)),
        (1, (0, 3, 3), (0, 1, 0)),
        (0, (4, 5), (0, 0)),
        (7, (0, 0), (0, 0)),
        (7, (), ()),
    ],
)
def test_of_equal_fractions_the_first_is_served_and_no_weight_has_no_part(
    total: int, weights: tuple[int, ...], parts: tuple[int, ...]
) -> None:
    assert apportion(total, weights) == parts


@given(TOTALS, WEIGHTS.filter(any))
def test_parts_are_the_exact_ones_rounded_down_or_up_and_add_up(
    total: int, weights: list[int]
) -> None:
    parts = apportion(total, weights)
    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        exact = Fraction(total * weight, sum(weights))
        assert floor(exact) <= part <= ceil(exact)


@given(TOTALS, WEIGHTS, st.integers(1, 50))
def test_parts_go_by_the_ratio_of_weights_alone(total: int, weights: list[int], times: int) -> None:
    assert apportion(total, [weight * times for weight in weights]) == apportion(total, weights)


@given(st.integers(0, 9), st.lists(st.integers(0, 12), min_size=1, max_size=4).filter(any))
def test_no_other_whole_parts_lie_nearer_to_the_exact_ones(total: int, weights: list[int]) -> None:
    exact = [Fraction(total * weight, sum(weights)) for weight in weights]

    def distance(parts: tuple[int, ...]) -> Fraction:
        return sum((abs(p - e) for p, e in zip(parts, exact, strict=True)), Fraction(0))

    nearest = min(map(distance, whole_parts(total, len(weights))))
    assert distance(apportion(total, weights)) == nearest


def whole_parts(total: int, number: int) -> Iterator[tuple[int, ...]]:
    """All ways to write a total as a sum of some whole numbers."""
    if number == 1:
        yield (total,)
        return
    for first in range(total + 1):
        for rest in whole_parts(total - first, number - 1):
            yield first, *rest

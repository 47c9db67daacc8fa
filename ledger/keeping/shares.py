"""Shares: a whole number split into whole parts, in proportion to weights."""

from __future__ import annotations

from collections.abc import Sequence


def apportion(total: int, weights: Sequence[int]) -> tuple[int, ...]:
    """A part of a total for each weight: its exact part rounded down or up, so that the parts add
    up to the total. If all weights are 0, all parts are 0.

    By largest remainders: each part is rounded down, and what is left goes one each to the
    largest fractions, of equal ones to the first (Balinski and Young, "Fair Representation",
    1982; the rule from a page about it, the book from memory). The total and the weights may not
    be below 0.
    """
    weight_sum = sum(weights)
    if not weight_sum:
        return (0,) * len(weights)
    parts = [total * weight // weight_sum for weight in weights]
    fractions = [total * weight % weight_sum for weight in weights]
    first_served = sorted(range(len(weights)), key=lambda n: -fractions[n])
    for n in first_served[: total - sum(parts)]:
        parts[n] += 1
    return tuple(parts)

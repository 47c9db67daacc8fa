"""Shares: a whole number parted into whole numbers, as evenly as weights ask."""

from __future__ import annotations

from collections.abc import Sequence


def apportion(total: int, weights: Sequence[int]) -> tuple[int, ...]:
    """Parts of a total, one a weight, each its exact part rounded down or up; they add up to the
    total. Where no weight is above 0 there is nothing to go by, and all parts are 0.

    By largest remainders: each has the whole of its exact part, and what is left goes one each
    to the largest fractions, of equal ones to the first (Balinski and Young, "Fair
    Representation", 1982; the rule from a page about it, the book from memory). Neither may be
    below 0.
    """
    whole = sum(weights)
    if not whole:
        return (0,) * len(weights)
    parts = [total * weight // whole for weight in weights]
    fractions = [total * weight % whole for weight in weights]
    first_served = sorted(range(len(weights)), key=lambda n: -fractions[n])
    for n in first_served[: total - sum(parts)]:
        parts[n] += 1
    return tuple(parts)

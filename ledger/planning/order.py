"""Order: days that pieces lose because others come before or after them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def in_order(
    days: Sequence[Sequence[int]], opens: Sequence[int], after: Iterable[tuple[int, int]]
) -> list[Sequence[int]]:
    """The days of some pieces, without those on which a piece would surely be out of order.

    `after` has pairs of pieces of which the first comes before the second. One that stands open on
    all days of the second comes by the last of these days, and the second no sooner than the first
    may be done. A piece that would lose all its days keeps them.
    """
    left = list(days)
    pairs = [(one, other) for one, other in after if opens[one] <= days[other][0]]
    changed = bool(pairs)
    while changed:
        changed = False
        for one, other in pairs:
            low, high = left[one][0], left[other][-1]
            if left[one][-1] > high and low <= high:
                left[one] = [day for day in left[one] if day <= high]
                changed = True
            if left[other][0] < low <= high:
                left[other] = [day for day in left[other] if day >= low]
                changed = True
    return left

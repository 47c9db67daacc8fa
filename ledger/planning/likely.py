"""Likely: how long several chores take together, by what each of them took before."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from ledger.text.fields import Amount


class Quartiles(NamedTuple):
    """How long some chores take together: every total that can be drawn from the latest timed lines
    of each, the others as the book says."""

    low: Amount
    """Minutes below which a quarter of the totals lies."""
    middle: Amount
    """Minutes below which half of them lies: the median."""
    high: Amount
    """Minutes below which three quarters of them lie."""


BUDGET = 500_000_000
"""Bytes that adding up may move, about half a second of work: no household comes near it
unless many of its minutes are mistyped."""


def quartiles(samples: Sequence[Sequence[int]], fixed: int = 0) -> Quartiles | None:
    """The quartiles of the minutes that some chores take together.

    Each chore draws one figure of its sample, none of which may be empty, whatever the others
    draw; `fixed` minutes come on top. Exact: of all totals that can be drawn, each as often as
    it can be, by the definition of `statistics.quantiles(totals, n=4, method="inclusive")`
    (the R-7 of Hyndman and Fan, Sample quantiles in statistical packages, 1996). None where
    there are too many totals to add them up in a moment.
    """
    # The widest come last, so that one that is far off does not widen all the others' sums.
    ordered = sorted(samples, key=lambda sample: max(sample) - min(sample))
    draws = 1
    for sample in ordered:
        draws *= len(sample)
    slot = draws.bit_length() // 8 + 1
    if _cost(ordered, slot) > BUDGET:
        return None
    totals, times = _totals(ordered, slot)
    reached = list(accumulate(times))
    last = reached[-1] - 1

    def cut(quarters: int) -> float:
        rank, rest = divmod(quarters * last, 4)
        low = totals[bisect_right(reached, rank)]
        high = totals[bisect_right(reached, rank + 1)] if rest else low
        return fixed + (low * (4 - rest) + high * rest) / 4

    return Quartiles(cut(1), cut(2), cut(3))


def _cost(samples: Sequence[Sequence[int]], slot: int) -> int:
    """The bytes that adding some samples up moves, one after another."""
    cost = span = 0
    for sample in samples:
        span += max(sample) - min(sample)
        cost += span * slot * len(sample)
    return cost


def _totals(samples: Sequence[Sequence[int]], slot: int) -> tuple[list[int], list[int]]:
    """The totals that can be drawn, in order, and how many draws come to each.

    Counts stand side by side in one whole number, a slot of bytes a total, wide enough for all
    draws there are: to add a chore is to add that number up, shifted by each figure of its
    sample.
    """
    least, counts = 0, 1
    for sample in samples:
        low = min(sample)
        least += low
        counts = sum(counts << 8 * slot * (figure - low) for figure in sample)
    held = counts.to_bytes(counts.bit_length() // 8 + slot, "little")
    totals, times = [], []
    for place in range(0, len(held), slot):
        number = int.from_bytes(held[place : place + slot], "little")
        if number:
            totals.append(least + place // slot)
            times.append(number)
    return totals, times

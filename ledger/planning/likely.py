"""Likely: how long several chores take together, by how long each took before."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from ledger.text.fields import Amount


class Quartiles(NamedTuple):
    """How long some chores take together, by every total of their latest timed lines; chores
    without enough timed lines count as the book says."""

    low: Amount
    """A quarter of the totals are below these minutes."""
    middle: Amount
    """Half of the totals are below these minutes: the median."""
    high: Amount
    """Three quarters of the totals are below these minutes."""


BUDGET = 500_000_000
"""The most bytes that adding up may move, about half a second of work. Only a book with many
mistyped minutes comes near it."""


def quartiles(samples: Sequence[Sequence[int]], fixed: int = 0) -> Quartiles | None:
    """The quartiles of the minutes that some chores take together.

    Each chore draws one figure from its sample, whatever the others draw; no sample may be
    empty. `fixed` minutes are added. Exact, over all possible draws, by the definition of
    `statistics.quantiles(totals, n=4, method="inclusive")` (the R-7 of Hyndman and Fan, Sample
    quantiles in statistical packages, 1996). None if there are too many totals to add up in a
    moment.
    """
    # The widest samples come last, so that an outlier does not widen the sums before it.
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
    """The bytes moved by adding up the samples one after another."""
    cost = span = 0
    for sample in samples:
        span += max(sample) - min(sample)
        cost += span * slot * len(sample)
    return cost


def _totals(samples: Sequence[Sequence[int]], slot: int) -> tuple[list[int], list[int]]:
    """The totals that can be drawn, in order, and how many draws give each.

    The counts are packed in one whole number: each total has a slot of bytes, wide enough for
    all draws. A chore is added by summing copies of the number, one shifted by each figure of
    its sample.
    """
    least, counts = 0, 1
    for sample in samples:
        low = min(sample)
        least += low
        counts = sum(counts << 8 * slot * (figure - low) for figure in sample)
    packed = counts.to_bytes(counts.bit_length() // 8 + slot, "little")
    totals, times = [], []
    for place in range(0, len(packed), slot):
        number = int.from_bytes(packed[place : place + slot], "little")
        if number:
            totals.append(least + place // slot)
            times.append(number)
    return totals, times

"""Likely: how long several chores take together, by how long each took before.

Chores of one day have the day in common: on a bad day all of them take longer. So a total varies
by what each chore draws, by what each day draws, and by how little a few timed lines tell.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence
from itertools import accumulate, chain
from math import prod, sqrt
from typing import NamedTuple

from ledger.keeping.averages import median, variance
from ledger.text.fields import Amount


class Quartiles(NamedTuple):
    """How long some chores take together, by their latest timed lines and by how much good and bad
    days differ; chores without enough timed lines count as the book says."""

    low: Amount
    """A quarter of the totals are expected below these minutes."""
    middle: Amount
    """Half of the totals are expected below these minutes: the median."""
    high: Amount
    """Three quarters of the totals are expected below these minutes."""


class Draw(NamedTuple):
    """A chore to be done once: it may take any of the minutes that it took before."""

    chore: str
    minutes: tuple[int, ...]
    """Those of its latest timed lines; at least two."""
    days: tuple[int, ...]
    """The days of these lines."""


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


def likely(
    days: Sequence[Sequence[Draw]], effects: Sequence[float], fixed: int = 0
) -> Quartiles | None:
    """The quartiles of a total still to come: all that is to be done on some days.

    `effects` are what whole days were above or below the usual, as parts of it. Each chore draws
    one of its figures and each day one of the effects, which its chores have in common. The range
    is then made wider for what a few figures leave unknown, by the variance of a prediction: the
    mean of `n` figures is off by a part `1 / n` of their variance, which they show as `n / (n - 1)`
    too little (standard results, from memory). `fixed` minutes are added. None if there are too
    many totals to add up in a moment, and where no chore is timed.
    """
    draws = list(chain.from_iterable(days))
    if not draws:
        return None
    counts = Counter(draw.chore for draw in draws)
    chores = {draw.chore: draw for draw in draws}
    known: dict[int, list[float]] = {}
    for draw in chores.values():
        for day in draw.days:
            usual = median(draw.minutes) * counts[draw.chore] / len(draw.minutes)
            known.setdefault(day, []).append(usual)
    common = [_pairs([median(draw.minutes) for draw in some]) for some in days]
    samples: list[Sequence[int]] = [draw.minutes for draw in draws]
    samples += [[round(part * sqrt(one)) for part in effects] for one in common if effects and one]
    found = quartiles(samples, fixed)
    if found is None:
        return None
    drawn = sum(map(variance, samples))
    unknown = variance(effects) * sum(map(_pairs, known.values())) if effects else 0.0
    for name, draw in chores.items():
        n, times = len(draw.minutes), counts[name]
        unknown += variance(draw.minutes) * times * (times + 1) / (n - 1)
    return _widened(found, sqrt(1 + unknown / drawn) if drawn else 1.0, samples, fixed)


def _widened(
    found: Quartiles, times: float, samples: Sequence[Sequence[int]], least: int
) -> Quartiles:
    """The quartiles with their distance from the middle so many times as large.

    Of `n` equally likely totals, the ends are the quantiles 0 and 1 of those drawn, which a total
    to come goes beyond. With few totals that makes a difference, and so they count `n / (n - 1)`.
    """
    totals = prod(map(len, samples))
    times *= totals / (totals - 1)
    low, middle, high = found
    return Quartiles(
        max(float(least), middle - times * (middle - low)), middle, middle + times * (high - middle)
    )


def _pairs(figures: Sequence[float]) -> float:
    """The sum of the products of each two of some figures, in either order."""
    return max(0.0, sum(figures) ** 2 - sum(figure * figure for figure in figures))


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

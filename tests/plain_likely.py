"""The range that a total is expected in, by every total that can be drawn and the standard
library: the oracle of `ledger.planning.likely`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import product
from math import fsum, prod, sqrt
from statistics import pvariance, quantiles, variance

Timings = Mapping[int, int]
"""The minutes of a chore by the day on which it was timed."""


def plain_range(
    days: Sequence[Sequence[tuple[str, Timings]]], fixed: int = 0, effects: Sequence[float] = ()
) -> tuple[float, float, float]:
    """The quartiles of the total of some days' chores, each with its name and timings."""
    chores = dict(one for some in days for one in some)
    usual = {name: quantiles(timed.values(), n=4)[1] for name, timed in chores.items()}
    samples: list[list[int]] = [[*timed.values()] for some in days for _, timed in some]
    for some in days:
        each_two = sum(usual[a[0]] * usual[b[0]] for a in some for b in some) - sum(
            usual[name] ** 2 for name, _ in some
        )
        if effects and each_two:
            samples.append([round(effect * sqrt(each_two)) for effect in effects])
    totals = [fixed + sum(drawn) for drawn in product(*samples)]
    low, middle, high = quantiles(totals, n=4, method="inclusive")
    drawn_variance = fsum(pvariance(sample) for sample in samples)
    off = drawn_variance
    times = {name: sum(one == name for some in days for one, _ in some) for name in chores}
    for name, timed in chores.items():
        # By themselves: with the variance of `n` figures, and their mean off by an n-th of it.
        figures = [float(minutes) for minutes in timed.values()]
        whole = variance(figures)
        off += times[name] * (whole - pvariance(figures))
        off += times[name] ** 2 * whole / len(timed)
    if effects:
        for day in {day for timed in chores.values() for day in timed}:
            there = [
                times[n] * usual[n] / len(timed) for n, timed in chores.items() if day in timed
            ]
            off += pvariance(effects) * (sum(there) ** 2 - sum(one**2 for one in there))
    wider = sqrt(off / drawn_variance) if drawn_variance else 1.0
    wider *= prod(map(len, samples)) / (prod(map(len, samples)) - 1)
    return max(fixed, middle - wider * (middle - low)), middle, middle + wider * (high - middle)

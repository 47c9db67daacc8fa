"""Day effects: by how much all chores of one day took longer or shorter than usual.

The timed lines of a chore vary by the day, which all chores of the day have in common, and by
themselves. The part in common is found by the method of moments for one-way random effects, as
two chores of one day vary together by it alone (Searle, Casella and McCulloch, Variance
Components, 1992, from memory).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from math import exp, expm1, log, sqrt
from typing import NamedTuple

from ledger.household.model import Household
from ledger.keeping.minutes import TIMED_LINES_NEEDED, TIMED_LINES_USED
from ledger.text.tree import RecordEntry

DAYS = 56
"""The latest days that are looked at: eight weeks."""
LINES = 2000
"""The most lines of the record that are looked at."""
LEAST_DAYS = 8
"""Fewer days with several timed lines tell nothing of good and bad days."""

Timing = tuple[str, float]
"""A chore, and the logarithm of its minutes."""


class _Day(NamedTuple):
    """A day on which several chores were timed."""

    shared: float
    """The sum of the products of each two of its deviations, in minutes."""
    pairs: float
    """The sum of the products of each two of its usual minutes."""
    mean: float
    """By how much all of it together was off, as the logarithm of a ratio."""


def day_effects(household: Household, day: int) -> Sequence[float]:
    """What whole days up to a day were above or below the usual, as parts of it: a few typical
    figures, in order, of mean 0. None where the record does not show that days differ."""
    return household.remember(("day effects", day), lambda: _effects(_timings(household, day)))


def _timings(household: Household, day: int) -> list[list[Timing]]:
    """The timings of each of the latest days."""
    record = household.log
    end = bisect_right(record.dates, day)
    start = max(bisect_left(record.dates, day - DAYS + 1), end - LINES)
    of_entry: dict[int, Sequence[Timing]] = {}
    of_day: dict[int, list[Timing]] = {}
    for date, entry in zip(record.dates[start:end], record.entries[start:end], strict=True):
        timed = of_entry.get(id(entry))
        if timed is None:
            timed = of_entry[id(entry)] = tuple(_timed(entry))
        if timed:
            of_day.setdefault(date, []).extend(timed)
    return list(of_day.values())


def _timed(entry: RecordEntry) -> Iterator[Timing]:
    if entry.verb == "did":
        for item in entry.items:
            if item.minutes is not None:
                yield item.name.value, log(item.minutes.value)


def _effects(timings: Sequence[Sequence[Timing]]) -> Sequence[float]:
    days = list(_days(timings))
    pairs = sum(day.pairs for day in days)
    if len(days) < LEAST_DAYS or not pairs:
        return ()
    variance = sum(day.shared for day in days) / pairs
    error = sum((day.shared - variance * day.pairs) ** 2 for day in days) / pairs**2
    # An estimate no larger than its error tells nothing, and one not much larger tells little.
    variance -= error / variance if variance > 0 else 0.0
    if variance <= 0:
        return ()
    means = sorted(day.mean for day in days)
    few = [
        means[(2 * n + 1) * len(means) // (2 * TIMED_LINES_USED)] for n in range(TIMED_LINES_USED)
    ]
    return _scaled(few, sqrt(variance))


def _scaled(figures: Sequence[float], deviation: float) -> Sequence[float]:
    """Logarithms as parts above or below their mean, once they have a standard deviation."""
    middle = sum(figures) / len(figures)
    now = sqrt(sum((figure - middle) ** 2 for figure in figures) / len(figures))
    if not now:
        return ()
    parts = [expm1((figure - middle) * deviation / now) for figure in figures]
    mean = sum(parts) / len(parts)
    return tuple(part - mean for part in parts)


def _days(timings: Sequence[Sequence[Timing]]) -> Iterator[_Day]:
    """The days on which several chores were timed that are timed often enough."""
    usual = _usual(timings)
    for some in timings:
        known = [(usual[chore], minutes) for chore, minutes in some if chore in usual]
        if len(known) < 2:
            continue
        weights = [weight for (weight, _, _), _ in known]
        off = [weight * grow * (minutes - mean) for (weight, mean, grow), minutes in known]
        together, squares = sum(weights), sum(weight * weight for weight in weights)
        shared = sum(off) ** 2 - sum(one * one for one in off)
        yield _Day(shared, together**2 - squares, sum(off) / together)


def _usual(timings: Sequence[Sequence[Timing]]) -> Mapping[str, tuple[float, float, float]]:
    """Of each chore that is timed often enough: its usual minutes, their logarithm, and by how much
    its deviations from that are too small, as it is their own mean."""
    figures: dict[str, list[float]] = {}
    for some in timings:
        for chore, minutes in some:
            figures.setdefault(chore, []).append(minutes)
    means = {
        chore: (sum(some) / len(some), len(some))
        for chore, some in figures.items()
        if len(some) >= TIMED_LINES_NEEDED
    }
    return {chore: (exp(mean), mean, sqrt(n / (n - 1))) for chore, (mean, n) in means.items()}

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
from ledger.keeping.averages import mean, variance
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
    found = sum(day.shared for day in days) / pairs
    error = sum((day.shared - found * day.pairs) ** 2 for day in days) / pairs**2
    # A variance no larger than its standard error tells nothing, and one not much larger little.
    found -= error / found if found > 0 else 0.0
    if found <= 0:
        return ()
    means = sorted(day.mean for day in days)
    few = [
        means[(2 * n + 1) * len(means) // (2 * TIMED_LINES_USED)] for n in range(TIMED_LINES_USED)
    ]
    return _scaled(few, sqrt(found))


def _scaled(figures: Sequence[float], deviation: float) -> Sequence[float]:
    """Logarithms as parts above or below their mean, once they have a standard deviation."""
    middle, now = mean(figures), sqrt(variance(figures))
    if not now:
        return ()
    parts = [expm1((figure - middle) * deviation / now) for figure in figures]
    usual = mean(parts)
    return tuple(part - usual for part in parts)


def _days(timings: Sequence[Sequence[Timing]]) -> Iterator[_Day]:
    """The days on which several chores were timed that are timed often enough."""
    usual = _usual(timings)
    for some in timings:
        known = [(usual[chore], minutes) for chore, minutes in some if chore in usual]
        if len(known) < 2:
            continue
        weights = [weight for (weight, _, _), _ in known]
        off = [weight * grow * (minutes - usually) for (weight, usually, grow), minutes in known]
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
    return {
        chore: (exp(mean(some)), mean(some), sqrt(len(some) / (len(some) - 1)))
        for chore, some in figures.items()
        if len(some) >= TIMED_LINES_NEEDED
    }

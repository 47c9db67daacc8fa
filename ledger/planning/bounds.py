"""Bounds: how good the days of some pieces can be at best.

A bound allows minutes to be split: windows in order of closing, each filling the earliest room of
its days, leave as few minutes over as any splitting does (Glover, "Maximum matching in a convex
bipartite graph", Naval Research Logistics Quarterly 14, 1967, reported). All days between the first
and the last of a piece count as its own: more days can only lower a bound.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from typing import NamedTuple

Job = tuple[int, int, int]
"""A window: its first day, its last day, and its minutes, all on one day."""


class Days(NamedTuple):
    """Some days, counted from 0."""

    fixed: Sequence[int]
    """Minutes on each that cannot move."""
    limits: Sequence[int]


def days_of(
    jobs: Iterable[Job], limits: Sequence[int], taken: Sequence[int]
) -> tuple[list[Job], Days]:
    """The jobs with a choice of days, in order of closing, and the days with all others on them,
    beside the minutes that are taken."""
    fixed, free = list(taken), list[Job]()
    for first, last, minutes in jobs:
        if first == last:
            fixed[first] += minutes
        elif minutes:
            free.append((first, last, minutes))
    return sorted(free, key=lambda job: job[1]), Days(fixed, limits)


def left_over(jobs: Sequence[Job], room: list[int]) -> int:
    """The fewest minutes that find no room if they may be split; `room`, by day, is used up.

    The windows must be in order of closing.
    """
    over = 0
    for first, last, minutes in jobs:
        for day in range(first, last + 1):
            free = room[day]
            if free >= minutes:
                room[day] = free - minutes
                break
            if free > 0:
                minutes -= free
                room[day] = 0
        else:
            over += minutes
    return over


def least_over(jobs: Sequence[Job], days: Days) -> int:
    """A lower bound on the minutes beyond the limits: by splitting, or by one window alone."""
    fixed, limits = days
    room = [max(limit - load, 0) for load, limit in zip(fixed, limits, strict=True)]
    alone = max((max(minutes - max(room[a : b + 1]), 0) for a, b, minutes in jobs), default=0)
    return minutes_over(fixed, limits) + max(alone, left_over(jobs, room))


def least_heaviest(jobs: Sequence[Job], days: Days, over: int, heaviest: int) -> int:
    """A lower bound on the minutes of the heaviest day while no more than `over` minutes are beyond
    the limits; at most `heaviest`, which some choice of days has."""
    fixed, limits = days
    alone = max((min(fixed[a : b + 1]) + minutes for a, b, minutes in jobs), default=0)
    low = max(alone, max(fixed, default=0))
    allowed = over - minutes_over(fixed, limits)

    def fits(cap: int) -> bool:
        within = [max(min(cap, b) - f, 0) for f, b in zip(fixed, limits, strict=True)]
        if left_over(jobs, within) > allowed:
            return False
        return allowed == 0 or left_over(jobs, [cap - load for load in fixed]) == 0

    caps = range(low, max(heaviest, low))
    return low + bisect_left(caps, True, key=fits)


def minutes_over(loads: Sequence[int], limits: Sequence[int]) -> int:
    """Minutes beyond the limits of some days, together."""
    return sum(load - limit for load, limit in zip(loads, limits, strict=True) if load > limit)

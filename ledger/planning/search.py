"""Search: how heavy the days of some windows must be, and days for them that are no heavier.

The bound lets minutes be split over days: windows in order of closing, each filling the
earliest room of its days, leave as few minutes over as any splitting does (Glover,
"Maximum matching in a convex bipartite graph", Naval Research Logistics Quarterly 14, 1967,
reported). The search goes into depth, longest window first, and turns back where that bound,
or equal days met before, leave no hope; and where more windows that must be kept apart would
stand together than do at its start.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Collection, Sequence
from typing import NamedTuple

Job = tuple[int, int, int]
"""A window: first day, last day, and minutes that stand on one of its days."""


class Days(NamedTuple):
    """Some days, counted from 0."""

    fixed: Sequence[int]
    """Minutes that stand on each whatever is done."""
    limits: Sequence[int]


class Found(NamedTuple):
    """Days for windows, and what no other days can go below."""

    days: Sequence[int]
    """A day for each window."""
    least_excess: int
    """Minutes beyond the limits."""
    least_heaviest: int
    """Minutes of the heaviest day, where the excess is least."""
    steps: int
    """How many steps are left for other searches."""


def search(
    jobs: Sequence[Job],
    days: Days,
    start: Sequence[int],
    floor: int,
    steps: int,
    foes: Sequence[Collection[int]] = (),
) -> Found:
    """Days for windows, the longest of them first, with least excess and then the lightest
    heaviest day, no more of them beside their foes than at the start.

    `start` are the days to better. A heaviest day of `floor` minutes is light enough. Each
    window that a bound is worked out for is a step; after so many the best so far stands.
    `foes` are for each window the places of those that it must be kept apart from.
    """
    tree = _Tree(jobs, days, start, steps, foes)
    least_excess = _least_excess(jobs, days)
    if tree.excess > least_excess:
        proven = tree.lower(lambda: (NO_CAP, tree.excess - 1), lambda: tree.excess <= least_excess)
        least_excess = tree.excess if proven else least_excess
    least_heaviest = _least_heaviest(jobs, days, tree.excess, floor, tree.heaviest)
    if tree.heaviest > least_heaviest:
        allowed = tree.excess
        proven = tree.lower(
            lambda: (tree.heaviest - 1, allowed), lambda: tree.heaviest <= least_heaviest
        )
        least_heaviest = tree.heaviest if proven else least_heaviest
    return Found(tree.best, least_excess, least_heaviest, tree.steps)


NO_CAP = 1 << 50
"""Minutes beyond those of any day, and beyond the limit of a day without one."""


def left_over(jobs: Sequence[Job], room: list[int]) -> int:
    """The fewest minutes that find no room, were they split; `room`, by day, is used up.

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


def _by_closing(jobs: Sequence[Job]) -> list[Job]:
    return sorted(jobs, key=lambda job: job[1])


def _beyond(loads: Sequence[int], limits: Sequence[int]) -> int:
    return sum(load - limit for load, limit in zip(loads, limits, strict=True) if load > limit)


def _least_excess(jobs: Sequence[Job], days: Days) -> int:
    """No fewer minutes than these lie beyond the limits, by splitting or by one window alone."""
    fixed, limits = days
    room = [max(limit - load, 0) for load, limit in zip(fixed, limits, strict=True)]
    alone = max(max(minutes - max(room[a : b + 1]), 0) for a, b, minutes in jobs)
    return _beyond(fixed, limits) + max(alone, left_over(_by_closing(jobs), room))


def _least_heaviest(jobs: Sequence[Job], days: Days, excess: int, floor: int, heaviest: int) -> int:
    """The heaviest day is no lighter than this where the excess is no more than so much, or
    `floor` if that is more."""
    fixed, limits = days
    ordered = _by_closing(jobs)
    alone = max(min(fixed[a : b + 1]) + minutes for a, b, minutes in jobs)
    low = max(floor, alone, max(fixed))
    allowed = excess - _beyond(fixed, limits)

    def fits(cap: int) -> bool:
        within = [max(min(cap, b) - f, 0) for f, b in zip(fixed, limits, strict=True)]
        if left_over(ordered, within) > allowed:
            return False
        return allowed == 0 or left_over(ordered, [cap - load for load in fixed]) == 0

    caps = range(low, max(heaviest, low))
    return low + bisect_left(caps, True, key=fits)


class _Tree:
    """The search: every way to put the windows on days that may yet be better than the best."""

    def __init__(
        self,
        jobs: Sequence[Job],
        days: Days,
        start: Sequence[int],
        steps: int,
        foes: Sequence[Collection[int]],
    ) -> None:
        self.jobs, self.limits, self.steps = jobs, days.limits, steps
        self.before = [[foe for foe in some if foe < n] for n, some in enumerate(foes)]
        """For each window its foes among those before it."""
        behind = [(m, max(some)) for m, some in enumerate(foes) if some]
        self.open = [[m for m, last in behind if m < n <= last] for n in range(len(foes))]
        """For each window those before it whose foes are still to come."""
        self.most_met = sum(self._beside(n, start, day) for n, day in enumerate(start))
        self.met = 0
        self.loads, self.days = list(days.fixed), list(start)
        self.best = list(start)
        loads = list(days.fixed)
        for (_, _, minutes), day in zip(jobs, start, strict=True):
            loads[day] += minutes
        self.excess, self.heaviest = _beyond(loads, days.limits), max(loads)

    def lower(self, target: Callable[[], tuple[int, int]], met: Callable[[], bool]) -> bool:
        """Look for days within a target: the cap of a day, and the excess allowed.

        The target is asked for anew after each answer. True where the best is then proven:
        it is met, or nothing within the target is left.
        """
        count = len(self.jobs)
        if count * (count + 1) // 2 >= self.steps:
            return False  # Not one way down to an answer would be reached.
        self.behind = [_by_closing(self.jobs[n:]) for n in range(count)]
        self._target, self._met = target, met
        self.cap, self.allowed = target()
        self.seen: set[tuple[int, ...]] = set()
        self._visit(0)
        return self.steps > 0

    def _visit(self, n: int) -> bool:
        """True to end the search, below the first `n` windows having their days."""
        if n == len(self.jobs):
            return self._answer()
        self.steps -= len(self.jobs) - n
        if self.steps <= 0:
            return True
        place = (n, *self.loads)
        if self.before:
            place = (*place, self.met, *(self.days[m] for m in self.open[n]))
        if place in self.seen or not self._hopeful(n):
            return False
        self.seen.add(place)
        first, last, minutes = self.jobs[n]
        loads, limits = self.loads, self.limits
        for _, _, day in sorted(
            (max(loads[day] + minutes - limits[day], 0), loads[day], day)
            for day in range(first, last + 1)
        ):
            met = self._beside(n, self.days, day)
            if loads[day] + minutes <= self.cap and self.met + met <= self.most_met:
                self.days[n] = day
                loads[day] += minutes
                self.met += met
                ended = self._visit(n + 1)
                self.met -= met
                loads[day] -= minutes
                if ended:
                    return True
        return False

    def _beside(self, n: int, days: Sequence[int], day: int) -> int:
        """How many foes that come before a window have a day."""
        return sum(days[foe] == day for foe in self.before[n]) if self.before else 0

    def _hopeful(self, n: int) -> bool:
        """True where the windows from the `n`th on, were they split, would fit the target."""
        loads, cap = self.loads, self.cap
        allowed = self.allowed - _beyond(loads, self.limits)
        # An answer met on the way here may have made the target too much for these days.
        if allowed < 0 or max(loads) > cap:
            return False
        pairs = zip(loads, self.limits, strict=True)
        within = [min(cap, limit) - load for load, limit in pairs]
        if left_over(self.behind[n], within) > allowed:
            return False
        return allowed == 0 or left_over(self.behind[n], [cap - load for load in loads]) == 0

    def _answer(self) -> bool:
        excess, heaviest = _beyond(self.loads, self.limits), max(self.loads)
        if excess > self.allowed or heaviest > self.cap:
            return False
        self.best, self.excess, self.heaviest = list(self.days), excess, heaviest
        self.cap, self.allowed = self._target()
        return self._met()

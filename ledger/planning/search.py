"""Search: how heavy the days of some windows must be, and the best days for them it can find.

The bound allows minutes to be split: windows in order of closing, each filling the earliest
room of its days, leave as few minutes over as any splitting does (Glover, "Maximum matching in
a convex bipartite graph", Naval Research Logistics Quarterly 14, 1967, reported). The search is
depth-first, longest window first. It turns back where the bound, or equal days seen before,
rule out a better answer, and where more foes (windows to keep apart) would share a day than at
its start.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Collection, Sequence
from typing import NamedTuple

Job = tuple[int, int, int]
"""A window: first day, last day, and its minutes, all on one day."""


class Days(NamedTuple):
    """Some days, counted from 0."""

    fixed: Sequence[int]
    """Minutes on each that cannot move."""
    limits: Sequence[int]


class SearchResult(NamedTuple):
    """Days for windows, and lower bounds on any other days."""

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
) -> SearchResult:
    """Days for windows with least excess and then the lightest heaviest day, no more of them
    beside foes than at the start.

    `jobs` are the windows, longest first; `start` are the days to improve. A heaviest day of
    `floor` minutes is light enough. Each window for which a bound is worked out is a step; after
    `steps` the best so far counts. `foes` has, for each window, the indices of its foes.
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
    return SearchResult(tree.best, least_excess, least_heaviest, tree.steps)


NO_CAP = 1 << 50
"""More minutes than any day has, and more than the limit of a day without one."""


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


def _by_closing(jobs: Sequence[Job]) -> list[Job]:
    return sorted(jobs, key=lambda job: job[1])


def _excess_of(loads: Sequence[int], limits: Sequence[int]) -> int:
    return sum(load - limit for load, limit in zip(loads, limits, strict=True) if load > limit)


def _least_excess(jobs: Sequence[Job], days: Days) -> int:
    """A lower bound on the excess: by splitting, or by one window alone."""
    fixed, limits = days
    room = [max(limit - load, 0) for load, limit in zip(fixed, limits, strict=True)]
    alone = max(max(minutes - max(room[a : b + 1]), 0) for a, b, minutes in jobs)
    return _excess_of(fixed, limits) + max(alone, left_over(_by_closing(jobs), room))


def _least_heaviest(jobs: Sequence[Job], days: Days, excess: int, floor: int, heaviest: int) -> int:
    """A lower bound on the heaviest day while the excess is at most `excess`; at least `floor`."""
    fixed, limits = days
    ordered = _by_closing(jobs)
    alone = max(min(fixed[a : b + 1]) + minutes for a, b, minutes in jobs)
    low = max(floor, alone, max(fixed))
    allowed = excess - _excess_of(fixed, limits)

    def fits(cap: int) -> bool:
        within = [max(min(cap, b) - f, 0) for f, b in zip(fixed, limits, strict=True)]
        if left_over(ordered, within) > allowed:
            return False
        return allowed == 0 or left_over(ordered, [cap - load for load in fixed]) == 0

    caps = range(low, max(heaviest, low))
    return low + bisect_left(caps, True, key=fits)


class _Tree:
    """The search: every way to put the windows on days that may beat the best so far."""

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
        """For each window its foes among the windows before it."""
        behind = [(m, max(some)) for m, some in enumerate(foes) if some]
        self.open = [[m for m, last in behind if m < n <= last] for n in range(len(foes))]
        """For each window the windows before it with foes still to come."""
        self.most_clashes = sum(self._beside(n, start, day) for n, day in enumerate(start))
        self.clashes = 0
        self.loads, self.days = list(days.fixed), list(start)
        self.best = list(start)
        loads = list(days.fixed)
        for (_, _, minutes), day in zip(jobs, start, strict=True):
            loads[day] += minutes
        self.excess, self.heaviest = _excess_of(loads, days.limits), max(loads)

    def lower(
        self, target: Callable[[], tuple[int, int]], is_good_enough: Callable[[], bool]
    ) -> bool:
        """Look for days within a target: the cap of a day, and the excess allowed.

        The target is asked for again after each answer. True if the best is then proven: it is
        good enough, or nothing within the target is left.
        """
        count = len(self.jobs)
        if count * (count + 1) // 2 >= self.steps:
            return False  # Too few steps to reach a single answer.
        self.behind = [_by_closing(self.jobs[n:]) for n in range(count)]
        self._target, self._is_good_enough = target, is_good_enough
        self.cap, self.allowed = target()
        self.seen: set[tuple[int, ...]] = set()
        self._visit(0)
        return self.steps > 0

    def _visit(self, n: int) -> bool:
        """Try days for the windows from the `n`th on. True to end the search."""
        if n == len(self.jobs):
            return self._answer()
        self.steps -= len(self.jobs) - n
        if self.steps <= 0:
            return True
        state = (n, *self.loads)
        if self.before:
            state = (*state, self.clashes, *(self.days[m] for m in self.open[n]))
        if state in self.seen or not self._may_fit(n):
            return False
        self.seen.add(state)
        first, last, minutes = self.jobs[n]
        loads, limits = self.loads, self.limits
        for _, _, day in sorted(
            (max(loads[day] + minutes - limits[day], 0), loads[day], day)
            for day in range(first, last + 1)
        ):
            more = self._beside(n, self.days, day)
            if loads[day] + minutes <= self.cap and self.clashes + more <= self.most_clashes:
                self.days[n] = day
                loads[day] += minutes
                self.clashes += more
                ended = self._visit(n + 1)
                self.clashes -= more
                loads[day] -= minutes
                if ended:
                    return True
        return False

    def _beside(self, n: int, days: Sequence[int], day: int) -> int:
        """How many foes of a window, of those before it, are on a day."""
        return sum(days[foe] == day for foe in self.before[n]) if self.before else 0

    def _may_fit(self, n: int) -> bool:
        """True if the windows from the `n`th on would fit the target, split if need be."""
        loads, cap = self.loads, self.cap
        allowed = self.allowed - _excess_of(loads, self.limits)
        # An answer found meanwhile may have made the target too strict for these days.
        if allowed < 0 or max(loads) > cap:
            return False
        pairs = zip(loads, self.limits, strict=True)
        within = [min(cap, limit) - load for load, limit in pairs]
        if left_over(self.behind[n], within) > allowed:
            return False
        return allowed == 0 or left_over(self.behind[n], [cap - load for load in loads]) == 0

    def _answer(self) -> bool:
        excess, heaviest = _excess_of(self.loads, self.limits), max(self.loads)
        if excess > self.allowed or heaviest > self.cap:
            return False
        self.best, self.excess, self.heaviest = list(self.days), excess, heaviest
        self.cap, self.allowed = self._target()
        return self._is_good_enough()

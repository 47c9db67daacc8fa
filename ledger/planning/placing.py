"""Placing: windows put on days, longest first, and evened out by moves and swaps.

What must be kept apart comes before all minutes: no window is put beside one that it must be
kept apart from while it has another day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

NO_LIMIT = 1 << 40
"""Minutes that no day comes to."""


class Item(NamedTuple):
    """A window with a choice of days, counted from the first of them all."""

    first: int
    last: int
    minutes: int
    number: int
    """By which the windows of a plan are told apart."""


class Plan:
    """Days and what stands on each: minutes, limits, and the windows that could be elsewhere."""

    def __init__(
        self,
        loads: Sequence[int],
        limits: Sequence[int],
        foes: Mapping[int, set[int]] | None = None,
    ) -> None:
        self.loads, self.limits = list(loads), limits
        self.foes: Mapping[int, set[int]] = foes or {}
        """For windows by number those that each must be kept apart from."""
        self.on: list[dict[int, Item]] = [{} for _ in loads]
        self.day_of: dict[int, int] = {}

    def put(self, item: Item, day: int) -> None:
        """Put a window on a day; one that stands on another is taken off it first."""
        before = self.day_of.get(item.number)
        if before is not None:
            del self.on[before][item.number]
            self.loads[before] -= item.minutes
        self.on[day][item.number] = item
        self.loads[day] += item.minutes
        self.day_of[item.number] = day

    def met(self, item: Item, day: int, without: Item | None = None) -> int:
        """How many windows of a day one must be kept apart from, one of them left out."""
        foes = self.foes.get(item.number)
        if not foes:
            return 0
        met = foes.intersection(self.on[day])
        return len(met) - (without is not None and without.number in met)

    def clashes(self, days: range) -> int:
        """How many pairs that must be kept apart stand together on some days."""
        return sum(self.met(item, day) for day in days for item in self.on[day].values()) // 2

    def excess(self, days: range) -> int:
        """Minutes beyond the limits of some days."""
        return sum(max(0, self.loads[day] - self.limits[day]) for day in days)

    def heaviest(self, days: range) -> int:
        """Minutes of the heaviest of some days."""
        return max((self.loads[day] for day in days), default=0)


def longest_first(plan: Plan, items: Sequence[Item]) -> None:
    """Put windows, the longest of them first, each on a day without any that it must be kept
    apart from, of these on the day of least new excess, of these on the lightest.

    Without limits, and with every day open to all, the heaviest day is at most 4/3 - 1/(3m)
    times what it must be on m days (Graham, "Bounds on multiprocessing timing
    anomalies", SIAM Journal on Applied Mathematics 17, 1969, reported).
    """
    loads, limits = plan.loads, plan.limits
    for item in items:
        minutes = item.minutes
        best, best_key = item.first, (NO_LIMIT, 0, 0)
        wary = item.number in plan.foes
        for day in range(item.first, item.last + 1):
            load = loads[day]
            met = plan.met(item, day) if wary else 0
            key = (met, min(max(load + minutes - limits[day], 0), minutes), load)
            if key < best_key:
                best, best_key = day, key
        plan.put(item, best)


def even_out(plan: Plan, items: Sequence[Item]) -> None:
    """Move and swap windows while that parts more that must be kept apart; or at equal parting
    lowers the excess; or at an equal excess the sum of the squares of the days, which makes no
    heaviest day heavier."""
    waiting: Sequence[Item] = items
    while waiting:
        changed: set[int] = set()
        for item in waiting:
            step = _best_step(plan, item)
            if step is not None:
                day, other = step
                before = plan.day_of[item.number]
                plan.put(item, day)
                if other is not None:
                    plan.put(other, before)
                changed |= {before, day}
        waiting = [item for item in items if not changed.isdisjoint(range(item[0], item[1] + 1))]


def _best_step(plan: Plan, item: Item) -> tuple[int, Item | None] | None:
    """The day that a window is better put on, and which of that day's it changes places with."""
    loads, limits, here = plan.loads, plan.limits, plan.day_of[item.number]
    heavy, minutes = loads[here], item.minutes
    over = max(0, heavy - limits[here])
    clashing = plan.met(item, here)
    best, best_key = None, (0, 0, 0)
    for day in range(item.first, item.last + 1):
        gap = heavy - loads[day]
        # Towards a day that is no lighter a step can only better the excess.
        if day == here or (gap <= 1 and not over and not clashing):
            continue
        room = limits[day] - loads[day]
        for other in (None, *plan.on[day].values()):
            moved = minutes
            if other is not None:
                moved -= other.minutes
                if (moved <= 0 and not clashing) or not other.first <= here <= other.last:
                    continue
            met = _new_clashes(plan, (item, here), (other, day)) if plan.foes else 0
            # The excess, and half of the squares, as the step changes them.
            added = max(loads[day] + moved - limits[day], 0) - max(-room, 0)
            taken = over - max(heavy - moved - limits[here], 0)
            key = (met, added - taken, moved * (moved - gap))
            if key < best_key:
                best, best_key = (day, other), key
    return best


def _new_clashes(plan: Plan, one: tuple[Item, int], other: tuple[Item | None, int]) -> int:
    """How many more windows stand beside one that they must be kept apart from, were one put on
    the day of another and that, if there is one, on its own day."""
    item, here = one
    away, there = other
    more = plan.met(item, there, away) - plan.met(item, here)
    if away is not None:
        more += plan.met(away, here, item) - plan.met(away, there)
    return more

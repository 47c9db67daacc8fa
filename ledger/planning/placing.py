"""Placing: puts windows on days, longest first, and evens the days out by moves and swaps.

The foes of a window are those it must be kept apart from. This comes before all minutes: no
window is put beside a foe while it has another day.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

NO_LIMIT = 1 << 40
"""More minutes than any day has."""


class Item(NamedTuple):
    """A window with a choice of days, which are counted from the first day of the plan."""

    first: int
    last: int
    minutes: int
    number: int
    """Identifies the window in its plan."""


class Plan:
    """Days, each with its minutes, its limit, and the windows on it that may move."""

    def __init__(
        self,
        loads: Sequence[int],
        limits: Sequence[int],
        foes: Mapping[int, set[int]] | None = None,
    ) -> None:
        self.loads, self.limits = list(loads), limits
        self.foes: Mapping[int, set[int]] = foes or {}
        """The foes of each window, by number."""
        self.on: list[dict[int, Item]] = [{} for _ in loads]
        self.day_of: dict[int, int] = {}

    def put(self, item: Item, day: int) -> None:
        """Put a window on a day, and take it off the day it was on."""
        before = self.day_of.get(item.number)
        if before is not None:
            del self.on[before][item.number]
            self.loads[before] -= item.minutes
        self.on[day][item.number] = item
        self.loads[day] += item.minutes
        self.day_of[item.number] = day

    def met(self, item: Item, day: int, without: Item | None = None) -> int:
        """How many foes a window has on a day, one of them perhaps left out."""
        foes = self.foes.get(item.number)
        if not foes:
            return 0
        met = foes.intersection(self.on[day])
        return len(met) - (without is not None and without.number in met)

    def clashes(self, days: range) -> int:
        """How many pairs of foes stand together on some days."""
        return sum(self.met(item, day) for day in days for item in self.on[day].values()) // 2

    def excess(self, days: range) -> int:
        """Minutes beyond the limits of some days."""
        return sum(max(0, self.loads[day] - self.limits[day]) for day in days)

    def heaviest(self, days: range) -> int:
        """Minutes of the heaviest of some days."""
        return max((self.loads[day] for day in days), default=0)


def longest_first(plan: Plan, items: Sequence[Item]) -> None:
    """Put each window, in the order given, on the day with the fewest foes, of these with the least
    new excess, of these on the lightest.

    Longest first, without limits, and with every day open to all, the heaviest day is at most
    4/3 - 1/(3m) times what it must be on m days (Graham, "Bounds on multiprocessing timing
    anomalies", SIAM Journal on Applied Mathematics 17, 1969, reported).
    """
    loads, limits = plan.loads, plan.limits
    for item in items:
        minutes = item.minutes
        best, best_key = item.first, (NO_LIMIT, 0, 0)
        has_foes = item.number in plan.foes
        for day in range(item.first, item.last + 1):
            load = loads[day]
            met = plan.met(item, day) if has_foes else 0
            key = (met, min(max(load + minutes - limits[day], 0), minutes), load)
            if key < best_key:
                best, best_key = day, key
        plan.put(item, best)


def even_out(plan: Plan, items: Sequence[Item]) -> None:
    """Move and swap windows while that parts foes; or, with as many parted, lowers the excess; or,
    with equal excess, lowers the sum of the squares of the days.

    Lowering that sum never makes the heaviest day heavier.
    """
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
    """The best day to move a window to, and the window to swap it with, if any."""
    loads, limits, current_day = plan.loads, plan.limits, plan.day_of[item.number]
    heavy, minutes = loads[current_day], item.minutes
    over = max(0, heavy - limits[current_day])
    clashing = plan.met(item, current_day)
    best, best_key = None, (0, 0, 0)
    for day in range(item.first, item.last + 1):
        gap = heavy - loads[day]
        # A step to a day that is no lighter can only lower the excess.
        if day == current_day or (gap <= 1 and not over and not clashing):
            continue
        room = limits[day] - loads[day]
        for other in (None, *plan.on[day].values()):
            moved = minutes
            if other is not None:
                moved -= other.minutes
                if (moved <= 0 and not clashing) or not other.first <= current_day <= other.last:
                    continue
            met = _new_clashes(plan, (item, current_day), (other, day)) if plan.foes else 0
            # How the step changes the excess, and half of the squares.
            added = max(loads[day] + moved - limits[day], 0) - max(-room, 0)
            taken = over - max(heavy - moved - limits[current_day], 0)
            key = (met, added - taken, moved * (moved - gap))
            if key < best_key:
                best, best_key = (day, other), key
    return best


def _new_clashes(plan: Plan, one: tuple[Item, int], other: tuple[Item | None, int]) -> int:
    """How many more windows stand beside a foe if one moves to a day and another, if there is one,
    takes its place."""
    item, from_day = one
    swapped, to_day = other
    more = plan.met(item, to_day, swapped) - plan.met(item, from_day)
    if swapped is not None:
        more += plan.met(swapped, from_day, item) - plan.met(swapped, to_day)
    return more

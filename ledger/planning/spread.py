"""Spread: a day for each window, so that foes (windows to keep apart) share as few days as
possible, and no day is heavier than it must be.

To share out minutes that cannot be split is hard in general. Placing and evening out give a good
answer; a bound says how good it is; and a search of limited length, of all the days or of a few
at a time, narrows the gap.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from ledger.planning.load import Demand
from ledger.planning.placing import NO_LIMIT, Item, Plan, even_out, longest_first

STEPS = 20_000
"""Steps for all searches of whole parts together; a step looks at one window."""
FEW_DAYS = 5
"""Days searched at a time where all at once are too many."""
FEW_STEPS = 200
"""Steps for one search of a few days."""
FEW_ITEMS = 16
"""The most windows on a few days that are searched."""
MENDING_STEPS = 20_000
"""Steps for all searches of a few days together."""


class Spread(NamedTuple):
    """A day for each window, and how heavy the days become."""

    days: tuple[int, ...]
    """In the order of the windows given, as ordinals."""
    excess: int
    """Minutes beyond the limits of their days, of all days together."""
    heaviest: int
    """Minutes of the heaviest day."""
    least_excess: int
    """No answer that keeps as much apart has less excess than this."""
    least_heaviest: int
    """Of the answers with the least excess, none has a lighter heaviest day than this."""


def spread(
    demands: Sequence[Demand],
    limits: Mapping[int, int | None],
    low: int,
    high: int,
    taken: Mapping[int, int] | None = None,
    apart: Collection[tuple[int, int]] = (),
) -> Spread:
    """A day from `low` to `high` for each window.

    The aims, in this order: the fewest pairs of `apart` on one day, the fewest minutes beyond
    the limits, the lightest heaviest day, and days filled evenly.

    A window may open before `low`; one that closed before gets `low`; none closes after `high`.
    A day that is not in `limits`, or None there, has no limit. `taken` are minutes already on
    days. `apart` are pairs of indices of windows that must not share a day if they can avoid it.
    The same windows get the same days every time, and of equal days the earlier.
    """
    days = range(low, high + 1)
    loads = [(taken or {}).get(day, 0) for day in days]
    bounds = [NO_LIMIT if (limit := limits.get(day)) is None else limit for day in days]
    foes = _foes(apart)
    items, days_of = [], {}
    for index, demand in enumerate(demands):
        first, last = max(demand.first, low) - low, max(demand.last, low) - low
        if index not in foes and (first == last or demand.minutes == 0):
            days_of[index] = first
            loads[first] += demand.minutes
        else:
            items.append(Item(first, last, demand.minutes, index))
    plan = Plan(loads, bounds, foes)
    items.sort(key=lambda item: (*_rank(item, foes), demands[item.number].label))
    _place(plan, items)
    least_excess, least_heaviest = _prove(plan, items, loads)
    days_of.update(plan.day_of)
    every = range(len(days))
    return Spread(
        days=tuple(low + days_of[index] for index in range(len(demands))),
        excess=plan.excess(every),
        heaviest=plan.heaviest(every),
        least_excess=least_excess,
        least_heaviest=least_heaviest,
    )


def _rank(item: Item, foes: Collection[int]) -> tuple[int, int, int, int]:
    """The order of choosing days: windows with foes first, of these those with the fewest days;
    then the longest."""
    choice = item.last - item.first if item.number in foes else NO_LIMIT
    return choice, -item.minutes, item.last, item.first


def _place(plan: Plan, items: Sequence[Item]) -> None:
    """Put windows on good days, with as many foes parted as a search can part."""
    longest_first(plan, items)
    even_out(plan, items)
    if plan.clashes(range(len(plan.loads))):
        # Few households have foes that only a search can part.
        from ledger.planning.parting import part

        part(plan, items)
        even_out(plan, items)


def _foes(apart: Collection[tuple[int, int]]) -> dict[int, set[int]]:
    """The foes of each window, by index."""
    foes: dict[int, set[int]] = {}
    for one, other in apart:
        if one != other:
            foes.setdefault(one, set()).add(other)
            foes.setdefault(other, set()).add(one)
    return foes


class _Part(NamedTuple):
    """Windows linked by shared days, the longest first, and the days they cover."""

    items: list[Item]
    days: range


def _parts(items: Sequence[Item]) -> list[_Part]:
    """The windows split into parts that share no day, each part in the order given."""
    reaches: list[list[int]] = []
    for item in sorted(items):
        if reaches and item.first <= reaches[-1][1]:
            reaches[-1][1] = max(reaches[-1][1], item.last)
        else:
            reaches.append([item.first, item.last])
    firsts = [first for first, _ in reaches]
    parts = [_Part([], range(first, last + 1)) for first, last in reaches]
    for item in items:
        parts[bisect_right(firsts, item.first) - 1].items.append(item)
    return parts


def _prove(plan: Plan, items: Sequence[Item], fixed: Sequence[int]) -> tuple[int, int]:
    """Lower bounds on the excess and on the heaviest day; searches improve the plan on the way.

    `fixed` are the minutes of the days without the windows that have a choice.
    """
    every = range(len(fixed))
    least_excess, floor = plan.excess(every), max(fixed, default=0)
    steps, mending = STEPS, MENDING_STEPS
    parts = sorted(_parts(items), key=lambda part: -plan.heaviest(part.days))
    for part in parts:
        excess = plan.excess(part.days)
        if not excess and plan.heaviest(part.days) <= floor:
            continue
        least, heaviest, steps = _search(plan, part, floor, steps)
        least_excess += least - excess
        if plan.excess(part.days) > least or plan.heaviest(part.days) > heaviest:
            mending = _mend(plan, part, heaviest, mending)
        even_out(plan, part.items)
        floor = heaviest
    return least_excess, floor


def _search(plan: Plan, part: _Part, floor: int, steps: int) -> tuple[int, int, int]:
    """The bounds of a part, and the steps that are left; the plan gets the best days found."""
    # Most weeks need no search: their fixed minutes prove the bound.
    from ledger.planning.search import Days, search

    start, stop = part.days.start, part.days.stop
    fixed = plan.loads[start:stop]
    for item in part.items:
        fixed[plan.day_of[item.number] - start] -= item.minutes
    number = {item.number: n for n, item in enumerate(part.items)}
    foes = [
        [number[foe] for foe in plan.foes.get(item.number, ()) if foe in number]
        for item in part.items
    ]
    result = search(
        [(item.first - start, item.last - start, item.minutes) for item in part.items],
        Days(fixed, plan.limits[start:stop]),
        [plan.day_of[item.number] - start for item in part.items],
        floor,
        steps,
        foes if any(foes) else (),
    )
    for item, day in zip(part.items, result.days, strict=True):
        plan.put(item, start + day)
    return result.least_excess, result.least_heaviest, result.steps


def _mend(plan: Plan, part: _Part, floor: int, steps: int) -> int:
    """Search a few days in a row at a time, those with most excess first, while that helps.

    Returns the steps that are left.
    """
    starts = range(part.days.start, max(part.days.stop - FEW_DAYS, part.days.start) + 1)
    spans = [range(start, min(start + FEW_DAYS, part.days.stop)) for start in starts]
    improved = True
    while improved and steps > 0:
        improved, heaviest = False, plan.heaviest(part.days)
        for days in sorted(spans, key=lambda days: -plan.excess(days)):
            before = plan.excess(days), plan.heaviest(days)
            if steps <= 0 or not (before[0] or before[1] == heaviest > floor):
                continue
            steps -= _mend_few(plan, days, floor, min(FEW_STEPS, steps))
            improved |= (plan.excess(days), plan.heaviest(days)) < before
        even_out(plan, part.items)
    return steps


def _mend_few(plan: Plan, days: range, floor: int, steps: int) -> int:
    """Search days for the windows on a few days; none leaves these. Returns the steps used."""
    items = [item for day in days for item in plan.on[day].values()]
    if not items or len(items) > FEW_ITEMS:
        return 0
    confined = [
        item._replace(first=max(item.first, days.start), last=min(item.last, days.stop - 1))
        for item in sorted(items, key=lambda item: (-item.minutes, item))
    ]
    left = _search(plan, _Part(confined, days), floor, steps)[2]
    for item in items:
        plan.put(item, plan.day_of[item.number])
    return steps - left

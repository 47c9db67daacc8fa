"""Parting: days for windows of which some must not share one, so that as few as may be do.

To part all that can be parted is hard in general (it is a list colouring of a graph), and small
in a home: a search into depth, bounded in length, starting from days that are good already.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from ledger.planning.placing import Item, Plan

STEPS = 100_000
"""How long all searches may last together, in windows looked at."""
MOST = 24
"""Windows that are searched at once; of more that hang together a few at a time are."""


def part(plan: Plan, items: Sequence[Item]) -> None:
    """Put the windows that must be kept apart on days with the fewest pairs together, as far as
    the search gets; those that stand apart already stay where no better days ask for theirs."""
    steps = STEPS
    by_number = {item.number: item for item in items if item.number in plan.foes}
    waiting = dict(by_number)
    for item in by_number.values():
        for some in _searched(_group(item, waiting, plan.foes), plan, by_number):
            if any(plan.met(one, plan.day_of[one.number]) for one in some):
                search = _Search(some, plan, steps)
                steps = search.run()
                for one in some:
                    plan.put(one, search.best[one.number])


def _searched(group: list[Item], plan: Plan, by_number: Mapping[int, Item]) -> Iterator[list[Item]]:
    """What of a group is searched at once: all of it, or each window that stands beside a foe,
    with the first of its foes."""
    if len(group) <= MOST:
        yield group
        return
    for item in group:
        if item.last > item.first and plan.met(item, plan.day_of[item.number]):
            foes = [by_number[foe] for foe in sorted(plan.foes[item.number])]
            yield [item, *(foe for foe in foes if foe.last > foe.first)][:MOST]


def _group(item: Item, waiting: dict[int, Item], foes: Mapping[int, set[int]]) -> list[Item]:
    """The windows that hang together with one, those with the fewest days first; they are taken
    out of what is waiting."""
    edge = [item] if waiting.pop(item.number, None) else []
    group = list(edge)
    while edge:
        for number in sorted(foes[edge.pop().number]):
            if number in waiting:
                edge.append(waiting.pop(number))
                group.append(edge[-1])
    return sorted(group, key=lambda one: (one.last - one.first, one.number))


class _Search:
    """The search for days of some windows with fewer pairs together than those they have, all
    others staying where they are."""

    def __init__(self, group: Sequence[Item], plan: Plan, steps: int) -> None:
        self.group, self.steps = group, steps
        self.best = {one.number: plan.day_of[one.number] for one in group}
        self.days: dict[int, int] = {}
        self.foes = {
            one.number: [foe for foe in plan.foes[one.number] if foe in self.best] for one in group
        }
        """Those of the windows among themselves."""
        self.outside = {
            one.number: Counter(
                plan.day_of[foe] for foe in plan.foes[one.number] if foe not in self.best
            )
            for one in group
        }
        """How many others stand on a day from which a window must be kept apart."""
        met = [plan.met(one, self.best[one.number]) for one in group]
        others = [self.outside[one.number][self.best[one.number]] for one in group]
        self.least = (sum(met) + sum(others)) // 2

    def run(self) -> int:
        """Look for better days until none can be left; how many steps are over."""
        self._visit(0, 0)
        return self.steps

    def _visit(self, place: int, met: int) -> None:
        """Go on below the first windows having their days, with so many pairs together."""
        if place == len(self.group):
            self.best, self.least = {one.number: self.days[one.number] for one in self.group}, met
            return
        item = self.group[place]
        for more, _, day in sorted(
            (self._met(item, day), day != self.best[item.number], day)
            for day in range(item.first, item.last + 1)
        ):
            self.steps -= len(self.group) - place
            if self.steps <= 0:
                return
            self.days[item.number] = day
            if met + more + self._ahead(place + 1) < self.least:
                self._visit(place + 1, met + more)
            del self.days[item.number]

    def _met(self, item: Item, day: int) -> int:
        inside = sum(self.days.get(foe) == day for foe in self.foes[item.number])
        return inside + self.outside[item.number][day]

    def _ahead(self, place: int) -> int:
        """How many pairs together the windows to come cannot do without."""
        return sum(
            min(self._met(one, day) for day in range(one.first, one.last + 1))
            for one in self.group[place:]
        )

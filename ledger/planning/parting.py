"""Parting: moves windows so that as few foes (windows to keep apart) as possible share a day.

This is hard in general (it is a list colouring of a graph), but small in a home: a depth-first
search of limited length starts from days that are good already.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from ledger.planning.placing import Item, Plan

STEPS = 100_000
"""Steps for all searches together; a step looks at one window."""
MOST = 24
"""The most windows searched at once; a larger group is searched a few at a time."""


def part(plan: Plan, items: Sequence[Item]) -> None:
    """Put windows on days with the fewest pairs of foes together, as far as the search gets.

    Windows that are apart already stay, unless another needs their day.
    """
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
    """The windows of a group to search at once: all, or each window beside a foe, with the first
    of its foes."""
    if len(group) <= MOST:
        yield group
        return
    for item in group:
        if item.last > item.first and plan.met(item, plan.day_of[item.number]):
            foes = [by_number[foe] for foe in sorted(plan.foes[item.number])]
            yield [item, *(foe for foe in foes if foe.last > foe.first)][:MOST]


def _group(item: Item, waiting: dict[int, Item], foes: Mapping[int, set[int]]) -> list[Item]:
    """The windows linked with one by foes, those with the fewest days first; they are removed
    from `waiting`."""
    edge = [item] if waiting.pop(item.number, None) else []
    group = list(edge)
    while edge:
        for number in sorted(foes[edge.pop().number]):
            if number in waiting:
                edge.append(waiting.pop(number))
                group.append(edge[-1])
    return sorted(group, key=lambda one: (one.last - one.first, one.number))


class _Search:
    """The search for days of some windows with fewer pairs of foes together than now; all other
    windows stay."""

    def __init__(self, group: Sequence[Item], plan: Plan, steps: int) -> None:
        self.group, self.steps = group, steps
        self.best = {one.number: plan.day_of[one.number] for one in group}
        self.days: dict[int, int] = {}
        self.foes = {
            one.number: [foe for foe in plan.foes[one.number] if foe in self.best] for one in group
        }
        """For each window its foes among the group."""
        self.outside = {
            one.number: Counter(
                plan.day_of[foe] for foe in plan.foes[one.number] if foe not in self.best
            )
            for one in group
        }
        """For each window how many of its other foes are on each day."""
        met = [plan.met(one, self.best[one.number]) for one in group]
        others = [self.outside[one.number][self.best[one.number]] for one in group]
        self.least = (sum(met) + sum(others)) // 2

    def run(self) -> int:
        """Look for better days until there are none or the steps run out; the steps left."""
        self._visit(0, 0)
        return self.steps

    def _visit(self, place: int, met: int) -> None:
        """Try days for the windows from `place` on, with `met` pairs of foes together before."""
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
        """A lower bound on the pairs of foes that the windows from `place` on add."""
        return sum(
            min(self._met(one, day) for day in range(one.first, one.last + 1))
            for one in self.group[place:]
        )

"""Parting: days for windows of which some must not share one, so that as few as may be do.

To part all that can be parted is hard in general (it is a list colouring of a graph), and small
in a home: a search into depth, bounded in length, starting from days that are good already.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from ledger.schedule.placing import Item, Plan

STEPS = 20_000
"""How long all searches may last together, in days looked at."""


def part(plan: Plan, items: Sequence[Item]) -> None:
    """Put the windows that must be kept apart on days with the fewest pairs together, as far as
    the search gets; those that stand apart already stay where no better days ask for theirs."""
    steps = STEPS
    by_number = {item.number: item for item in items if item.number in plan.foes}
    waiting = dict(by_number)
    for item in by_number.values():
        group = _group(item, waiting, plan.foes)
        if any(plan.met(one, plan.day_of[one.number]) for one in group):
            search = _Search(group, plan, steps)
            steps = search.run()
            for one in group:
                plan.put(one, search.best[one.number])


def _group(item: Item, waiting: dict[int, Item], foes: Mapping[int, Collection[int]]) -> list[Item]:
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
    """The search for days of one group with fewer pairs together than those it has."""

    def __init__(self, group: Sequence[Item], plan: Plan, steps: int) -> None:
        self.group, self.foes, self.steps = group, plan.foes, steps
        self.best = {one.number: plan.day_of[one.number] for one in group}
        self.least = sum(plan.met(one, self.best[one.number]) for one in group) // 2
        self.days: dict[int, int] = {}

    def run(self) -> int:
        """Look for better days until none can be left; how many steps are over."""
        self._visit(0, 0)
        return self.steps

    def _visit(self, place: int, met: int) -> None:
        """Go on below the first windows having their days, with so many pairs together."""
        if place == len(self.group):
            self.best, self.least = dict(self.days), met
            return
        item = self.group[place]
        for more, _, day in sorted(
            (self._met(item, day), day != self.best[item.number], day)
            for day in range(item.first, item.last + 1)
        ):
            self.steps -= 1
            if self.steps <= 0 or met + more + self._ahead(place + 1, item, day) >= self.least:
                continue
            self.days[item.number] = day
            self._visit(place + 1, met + more)
            del self.days[item.number]

    def _met(self, item: Item, day: int) -> int:
        return sum(self.days.get(foe) == day for foe in self.foes[item.number])

    def _ahead(self, place: int, item: Item, day: int) -> int:
        """How many pairs together the windows to come cannot do without."""
        self.days[item.number] = day
        rest = sum(
            min(self._met(one, day) for day in range(one.first, one.last + 1))
            for one in self.group[place:]
        )
        del self.days[item.number]
        return rest

"""Doers: who is proposed for work that one of several people may do, so that each carries a fair
part of what they can."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from ledger.calendar.presence import there
from ledger.household.model import Household
from ledger.household.things import cautions
from ledger.keeping.occasion import Occasion
from ledger.keeping.turns import people_for
from ledger.planning.load import limit_at, person_limit

USUAL = 60
"""Minutes that a day is taken to hold for somebody whom no limit concerns. Only how the people
compare matters."""


class Doing(NamedTuple):
    """A window on a day of the week, and who did it, if it is done."""

    occasion: Occasion
    day: int
    done_by: tuple[str, ...] = ()


def proposed(household: Household, doings: Sequence[Doing], week: range) -> dict[int, str]:
    """Whom the plan of a week proposes for its windows, by their indices: for each that one of
    several people may do, and nobody has done yet.

    What is surely somebody's, and what they have done, counts first. The rest is given out day by
    day, the longest first, each to the person who then carries the smallest part of what they can
    do in the week, among those who are there and have room in the day. What a person can do is
    their limit, or else that of the household's days; nothing while they are away.
    Work without `by` that can hurt is proposed to nobody: the household knows who may do it.
    """
    if not household.people:
        return {}
    loads = _Loads(household, week)
    open_ones: list[tuple[int, Doing, tuple[str, ...]]] = []
    for number, doing in enumerate(doings):
        sure = doing.done_by or _sure(doing.occasion)
        if sure:
            loads.add(sure, doing.day, doing.occasion.minutes)
        else:
            candidates = _candidates(household, doing)
            if candidates:
                open_ones.append((number, doing, candidates))
    open_ones.sort(key=lambda one: (one[1].day, -one[1].occasion.minutes, one[0]))
    found: dict[int, str] = {}
    for number, doing, candidates in open_ones:
        minutes = doing.occasion.minutes
        person = min(candidates, key=lambda name: loads.rank(name, doing.day, minutes))
        loads.add((person,), doing.day, minutes)
        found[number] = person
    return found


def _sure(one: Occasion) -> tuple[str, ...]:
    """Who surely does a window."""
    people = people_for(one)
    is_sure = one.person is not None or one.routine.assignment.form != "any" or len(people) == 1
    return people if is_sure else ()


def _candidates(household: Household, doing: Doing) -> tuple[str, ...]:
    """The people who may do a window on its day."""
    routine = doing.occasion.routine
    named = routine.assignment.people
    if not named and cautions(routine.things):
        return ()
    return tuple(
        name
        for name in named or household.people
        if there(household, name, routine.vital).holds(doing.day)
    )


class _Loads:
    """What each person has in a week, and can do in it."""

    def __init__(self, household: Household, week: range) -> None:
        self.household = household
        self.minutes = dict.fromkeys(household.people, 0)
        self.on_day: dict[tuple[str, int], int] = {}
        self.can = {name: sum(self._can(name, day) for day in week) for name in household.people}

    def _can(self, name: str, day: int) -> int:
        if not there(self.household, name).holds(day):
            return 0
        own = person_limit(self.household, name, day)
        if own is not None:
            return own
        limit = limit_at(self.household, None, day)
        return limit.minutes if limit else USUAL

    def add(self, people: Iterable[str], day: int, minutes: int) -> None:
        """Count minutes of a day for each of some people."""
        for name in people:
            if name in self.minutes:
                self.minutes[name] += minutes
                self.on_day[name, day] = self.on_day.get((name, day), 0) + minutes

    def rank(self, name: str, day: int, minutes: int) -> tuple[int, float]:
        """The minutes over their limit of the day, then the part of what they can do, if a person
        took on more."""
        limit = person_limit(self.household, name, day)
        total = self.on_day.get((name, day), 0) + minutes
        over = 0 if limit is None else max(0, total - limit)
        can = max(self.can[name], 1)
        return over, (self.minutes[name] + minutes) / can

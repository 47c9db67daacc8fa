"""Apart: which chores must not be done on one day, because of what they use and where.

Only this module decides it. The lint rule, the pick of a day and the placing of a week ask it,
and every later planner must.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple, Protocol

from ledger.household.dangerous_pairs import Danger
from ledger.household.things import danger, is_dangerous

Span = tuple[int, int]


class Using(Protocol):
    """Work that uses things in some areas: a line of the routine, or a task."""

    @property
    def things(self) -> tuple[str, ...]:
        """As the book names them."""

    @property
    def areas(self) -> tuple[str, ...]:
        """Where it is done; empty means anywhere."""


class Clash(NamedTuple):
    """Two things that must never meet, and would meet."""

    one: str
    other: str
    danger: Danger


class Pair(NamedTuple):
    """The indices of two pieces of work to keep apart; equal if one piece uses both things."""

    one: int
    other: int
    clash: Clash


def share_area(one: Using, other: Using) -> bool:
    """True if two pieces of work share an area. Work without areas is in every one."""
    if one is other or not one.areas or not other.areas:
        return True
    return not set(one.areas).isdisjoint(other.areas)


def clash(one: Using, other: Using) -> Clash | None:
    """The first two things that keep two pieces of work apart; None if both may be done on one
    day. One piece may be given twice."""
    if not share_area(one, other):
        return None
    for thing in one.things:
        for other_thing in other.things:
            known_danger = danger(thing, other_thing)
            if known_danger is not None:
                return Clash(thing, other_thing, known_danger)
    return None


def pairs(work: Sequence[Using], spans: Sequence[Span] | None = None) -> list[Pair]:
    """All pairs of work that must not be done on one day, in order.

    `spans` are the first and last day of each piece: pairs that share no day are then left out.
    """

    def share_day(one: int, other: int) -> bool:
        if spans is None:
            return True
        return spans[one][0] <= spans[other][1] and spans[other][0] <= spans[one][1]

    kinds: dict[tuple[tuple[str, ...], tuple[str, ...]], list[int]] = {}
    for place, one in enumerate(work):
        things = tuple(filter(is_dangerous, one.things))
        if things:
            kinds.setdefault((things, one.areas), []).append(place)
    clashing: list[Pair] = []
    for places in kinds.values():
        within = clash(work[places[0]], work[places[0]])
        if within is not None:
            clashing += (Pair(place, place, within) for place in places)
            clashing += (Pair(*two, within) for two in combinations(places, 2) if share_day(*two))
    for ones, others in combinations(kinds.values(), 2):
        between = clash(work[ones[0]], work[others[0]])
        if between is not None:
            swapped = Clash(between.other, between.one, between.danger)
            clashing += (
                Pair(one, other, between) if one < other else Pair(other, one, swapped)
                for one in ones
                for other in others
                if share_day(one, other)
            )
    return sorted(clashing, key=lambda pair: pair[:2])

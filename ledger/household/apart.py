"""Apart: which chores of a day must be kept apart, for what they use and where.

The one place that says so. The rule of the linter, the pick of a day and the placing of a week
ask here, and whatever plans work later has to.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import NamedTuple, Protocol

from ledger.household.dangers import Danger
from ledger.household.things import danger, is_dangerous

Span = tuple[int, int]


class Using(Protocol):
    """Work that uses things in some areas: a line of the routine, or a task."""

    @property
    def things(self) -> tuple[str, ...]:
        """In the words of the book."""

    @property
    def areas(self) -> tuple[str, ...]:
        """Where it is done; none is anywhere."""


class Clash(NamedTuple):
    """Two things that must never meet, and would."""

    one: str
    other: str
    danger: Danger


class Pair(NamedTuple):
    """Two places in a row of work that must be kept apart; the same place twice where one piece
    of work uses both things."""

    one: int
    other: int
    clash: Clash


def share_area(one: Using, other: Using) -> bool:
    """True for work in one area. Work that names no area counts as in every one."""
    if one is other or not one.areas or not other.areas:
        return True
    return not set(one.areas).isdisjoint(other.areas)


def clash(one: Using, other: Using) -> Clash | None:
    """The things that keep two pieces of work apart, or that one piece has to part; None where
    both may be done on one day."""
    if not share_area(one, other):
        return None
    for thing in one.things:
        for against in other.things:
            known = danger(thing, against)
            if known is not None:
                return Clash(thing, against, known)
    return None


def pairs(work: Sequence[Using], spans: Sequence[Span] | None = None) -> list[Pair]:
    """All pairs of some work that must not be done on one day, in its order; where `spans` are
    given, the first and last day of each, only those that could be."""

    def meet(one: int, other: int) -> bool:
        if spans is None:
            return True
        return spans[one][0] <= spans[other][1] and spans[other][0] <= spans[one][1]

    kinds: dict[tuple[tuple[str, ...], tuple[str, ...]], list[int]] = {}
    for place, one in enumerate(work):
        things = tuple(filter(is_dangerous, one.things))
        if things:
            kinds.setdefault((things, one.areas), []).append(place)
    found: list[Pair] = []
    for places in kinds.values():
        alone = clash(work[places[0]], work[places[0]])
        if alone is not None:
            found += (Pair(place, place, alone) for place in places)
            found += (Pair(*two, alone) for two in combinations(places, 2) if meet(*two))
    for ones, others in combinations(kinds.values(), 2):
        between = clash(work[ones[0]], work[others[0]])
        if between is not None:
            turned = Clash(between.other, between.one, between.danger)
            found += (
                Pair(one, other, between) if one < other else Pair(other, one, turned)
                for one in ones
                for other in others
                if meet(one, other)
            )
    return sorted(found, key=lambda pair: pair[:2])

"""Unchanged chores: a chore that did not change is the same object as before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ledger.household.model import Chore, Household
from ledger.text.source import TextRange


def keep(household: Household, before: Household) -> Household:
    """The household, with the earlier object for each chore that did not change.

    A result about a chore then still holds if the chore is the same object.
    """
    chores = {}
    for name, chore in household.chores.items():
        old = before.chores.get(name)
        chores[name] = old if old is not None and _is_unchanged(chore, old) else chore
    return replace(household, chores=chores)


def _is_unchanged(chore: Chore, old: Chore) -> bool:
    return chore == old and list(_spots(chore)) == list(_spots(old))


def _spots(chore: Chore) -> Iterator[tuple[object, ...]]:
    """The places of a chore. Sources are compared by path: an edited file is a new source."""
    for routine in chore.routines:
        for place in (routine.place, routine.name_place, routine.section.place):
            yield _spot(place)


def _spot(place: TextRange) -> tuple[object, ...]:
    return place.source.path, place.line, place.start, place.end

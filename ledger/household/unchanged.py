"""Kept parts: what a household says as it did before is the same object as before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ledger.household.model import Chore, Household
from ledger.text.source import TextRange


def keep(household: Household, before: Household) -> Household:
    """The household, with the chores of an earlier one that stand as they stood.

    What was found out about a chore can then be told by its identity to hold still.
    """
    chores = {}
    for name, chore in household.chores.items():
        old = before.chores.get(name)
        chores[name] = old if old is not None and _stands_still(chore, old) else chore
    return replace(household, chores=chores)


def _stands_still(chore: Chore, old: Chore) -> bool:
    return chore == old and list(_spots(chore)) == list(_spots(old))


def _spots(chore: Chore) -> Iterator[tuple[object, ...]]:
    """Where a chore stands; a file typed in is another source at the same path."""
    for routine in chore.routines:
        for place in (routine.place, routine.name_place, routine.section.place):
            yield _spot(place)


def _spot(place: TextRange) -> tuple[object, ...]:
    return place.source.path, place.line, place.start, place.end

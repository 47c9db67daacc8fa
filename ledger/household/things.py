"""Things that chores use and that can hurt: their cautions, and which two must never meet.

The facts and their sources are in `hazards` and `dangers`. A caution never replaces a label:
`LAST_WORD` and its source follow it wherever it is shown.
"""

from __future__ import annotations

from functools import lru_cache

from ledger.household.cautions import HAZARDS, Hazard
from ledger.household.dangerous_pairs import DANGERS, Danger

LAST_WORD = (
    "Follow the product's label and local rules, and call a licensed trade where one is required."
)

_DANGEROUS = frozenset(word for row in DANGERS for word in row.one | row.other)


def cautions(things: tuple[str, ...]) -> tuple[tuple[str, Hazard], ...]:
    """The hazards among some things, in their order, each thing once."""
    return tuple((thing, HAZARDS[thing]) for thing in dict.fromkeys(things) if thing in HAZARDS)


@lru_cache(maxsize=1 << 14)
def danger(thing: str, other: str) -> Danger | None:
    """What happens if two different things meet, or None if no danger is known."""
    if thing == other:
        return None
    for row in DANGERS:
        if (thing in row.one and other in row.other) or (other in row.one and thing in row.other):
            return row
    return None


def known_things() -> frozenset[str]:
    """All words that bring a caution or a danger."""
    return _DANGEROUS | HAZARDS.keys()


def is_dangerous(thing: str) -> bool:
    """True for a thing that must never meet some other."""
    return thing in _DANGEROUS


def mind(hazard: Hazard) -> str:
    """A caution as running text: what to mind, who says so, and `LAST_WORD`."""
    return f"{hazard.caution} ({hazard.source}). {LAST_WORD}"


def meeting(thing: str, other: str, known: Danger) -> str:
    """What two things do if they meet, as running text, with who says so."""
    return f"{thing} and {other} {known.gives} ({known.source})"

"""Things that chores use and that can hurt: their cautions, each with its published source.

A caution never replaces a label: `LAST_WORD` follows every one of them. Product kinds (glass
cleaner, toilet-bowl cleaner, drain opener) fall in more than one chemical family, so the
label decides and not the kind of product (Columbia University, student health service,
"Chlorine gas from household cleaners").
"""

from __future__ import annotations

from typing import NamedTuple

LAST_WORD = (
    "Follow the product's label and local rules, and call a licensed trade where one is required."
)

_CDC = 'CDC, "Cleaning and Disinfecting with Bleach"'
_NFPA = 'NFPA, "The dangers of mixing household chemicals", 2020'
_COLUMBIA = 'Columbia University, "Chlorine gas from household cleaners"'
_NCSU = 'North Carolina State University EHS, "The 4-to-1 ratio; 3-foot rule"'
_EPA = "US EPA, household hazardous products pages: drain cleaners (archived 2008)"
_COMMON = "common practice, no source"


class Hazard(NamedTuple):
    """What to mind with a thing, and who says so."""

    caution: str
    source: str


_BLEACH = Hazard("never mix bleach with anything; windows and doors open; gloves", _CDC)
_ACID = Hazard("never with bleach: the two give off chlorine gas; air the room", _COLUMBIA)
_AMMONIA = Hazard("never with bleach: the two give off chloramine gas; air the room", _NFPA)
_CAUSTIC = Hazard(
    "it burns skin and eyes: gloves and goggles; never with an acid or another opener", _EPA
)
_OPENER = Hazard("never with any other cleaner in the same drain, and no plunger after it", _EPA)
_ALCOHOL = Hazard("never with bleach; no flame near it; air the room", _NFPA)
_PEROXIDE = Hazard("never with vinegar or bleach, in a bottle or on a surface", _NFPA)
_LADDER = Hazard(
    "someone holds the foot; base 1 out for each 4 up, 3 ft (90 cm) above the landing", _NCSU
)
_GAS = Hazard(
    "smell gas: no switch, no flame, go out and call; work on gas is for a licensed fitter",
    _COMMON,
)
_MAINS = Hazard("switch off at the board first; fixed wiring is for a licensed trade", _COMMON)
_BLADES = Hazard("stop the motor and take its plug or key out before touching blades", _COMMON)

HAZARDS: dict[str, Hazard] = {
    "bleach": _BLEACH,
    "hypochlorite": _BLEACH,
    "mildew-remover": _BLEACH,
    "acid": _ACID,
    "vinegar": _ACID,
    "descaler": _ACID,
    "rust-remover": _ACID,
    "toilet-cleaner": Hazard("many are acids: never with bleach; read which it is", _COLUMBIA),
    "glass-cleaner": Hazard("many hold ammonia or acid: never with bleach", _COLUMBIA),
    "ammonia": _AMMONIA,
    "lye": _CAUSTIC,
    "caustic": _CAUSTIC,
    "oven-cleaner": _CAUSTIC,
    "drain-opener": _OPENER,
    "alcohol": _ALCOHOL,
    "acetone": _ALCOHOL,
    "peroxide": _PEROXIDE,
    "ladder": _LADDER,
    "gas": _GAS,
    "mains": _MAINS,
    "mower": _BLADES,
}
"""By the word that a book uses."""


def cautions(things: tuple[str, ...]) -> tuple[tuple[str, Hazard], ...]:
    """The hazards among some things, in their order, each once."""
    return tuple((thing, HAZARDS[thing]) for thing in dict.fromkeys(things) if thing in HAZARDS)

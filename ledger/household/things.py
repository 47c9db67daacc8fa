"""Things that chores use and that can hurt: their cautions, and which two must never meet.

Each has its published source; `from memory` stands where none was read. A caution never
replaces a label: `LAST_WORD` follows every one of them. Product kinds (glass cleaner,
toilet-bowl cleaner, drain opener) fall in more than one chemical family, so the label decides
and not the kind of product (Columbia University, student health service, "Chlorine gas from
household cleaners").
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
_ILLINOIS = "Illinois Poison Center, on calls about bathroom cleaners, 2010"
_MMWR = "CDC, Morbidity and Mortality Weekly Report, 1991: 14 people ill, the acid only 4 percent"
_EXPLAINER = "a science explainer; others differ on whether chlorine comes off too"
_WRITER = 'a science writer, "Why different drain cleaners must not be mixed"'
_BEYOND = 'Beyond Toxics, "Drain cleaners"'
_TEXTBOOKS = "chemistry textbooks, from memory"
_WASHINGTON = "Washington State Department of Health, from memory"
_LABELS = "labels of disinfectants, from memory"
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
_ACETONE = Hazard("never with bleach; no flame near it; air the room", _TEXTBOOKS)
_URINE = Hazard("never with bleach: urine holds ammonia, the two give off chloramines", _COLUMBIA)
_DISHWASHER = Hazard("some are acids and some hold chlorine: never with bleach", _COLUMBIA)
_REACTIVE = Hazard("never with bleach; keep it in its own bottle, away from others", _WASHINGTON)
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
    "lime-remover": _ACID,
    "phosphoric-acid": _ACID,
    "toilet-cleaner": Hazard("many are acids: never with bleach; read which it is", _COLUMBIA),
    "glass-cleaner": Hazard("many hold ammonia or acid: never with bleach", _COLUMBIA),
    "ammonia": _AMMONIA,
    "lye": _CAUSTIC,
    "caustic": _CAUSTIC,
    "oven-cleaner": _CAUSTIC,
    "drain-opener": _OPENER,
    "alcohol": _ALCOHOL,
    "acetone": _ACETONE,
    "peroxide": _PEROXIDE,
    "quats": Hazard("on its own: never with bleach or another cleaner", _LABELS),
    "litter-box": _URINE,
    "nappy-pail": _URINE,
    "dishwasher-detergent": _DISHWASHER,
    "rinse-aid": _DISHWASHER,
    "pool-chlorine": _REACTIVE,
    "insecticide": _REACTIVE,
    "ladder": _LADDER,
    "gas": _GAS,
    "mains": _MAINS,
    "mower": _BLADES,
}
"""By the word that a book uses."""


def cautions(things: tuple[str, ...]) -> tuple[tuple[str, Hazard], ...]:
    """The hazards among some things, in their order, each once."""
    return tuple((thing, HAZARDS[thing]) for thing in dict.fromkeys(things) if thing in HAZARDS)


class Danger(NamedTuple):
    """Two kinds of things that must never meet, and what happens where they do."""

    one: frozenset[str]
    other: frozenset[str]
    gives: str
    source: str


_BLEACHES = frozenset({"bleach", "hypochlorite", "mildew-remover"})
_ACIDS = frozenset(
    {"acid", "vinegar", "phosphoric-acid", "descaler", "rust-remover", "lime-remover",
     "toilet-cleaner"}
)  # fmt: skip
_CAUSTICS = frozenset({"lye", "caustic", "oven-cleaner"})
_CLEANERS = (
    _BLEACHES
    | _ACIDS
    | _CAUSTICS
    | {"ammonia", "glass-cleaner", "peroxide", "quats", "dishwasher-detergent", "rinse-aid"}
)


def _pair(one: str | frozenset[str], other: str | frozenset[str], gives: str, by: str) -> Danger:
    """A danger between words or kinds; one text may list several words."""
    return Danger(_words(one), _words(other), gives, by)


def _words(kind: str | frozenset[str]) -> frozenset[str]:
    return frozenset(kind.split()) if isinstance(kind, str) else kind


_CHLORINE = "give off chlorine gas"

DANGERS: tuple[Danger, ...] = (
    _pair(_BLEACHES, "vinegar", _CHLORINE, _NFPA),
    _pair(_BLEACHES, "toilet-cleaner", f"{_CHLORINE}, as many such cleaners are acids", _ILLINOIS),
    _pair(_BLEACHES, "phosphoric-acid", _CHLORINE, _MMWR),
    _pair(_BLEACHES, "descaler rust-remover lime-remover", _CHLORINE, _COLUMBIA),
    _pair(_BLEACHES, "drain-opener", f"{_CHLORINE} where the opener is an acid", _COLUMBIA),
    _pair(
        _BLEACHES,
        "dishwasher-detergent rinse-aid",
        f"{_CHLORINE} where the product is an acid",
        _COLUMBIA,
    ),
    _pair(_BLEACHES, "glass-cleaner", "give off chloramines or chlorine, by its kind", _COLUMBIA),
    _pair(
        _BLEACHES,
        "litter-box nappy-pail",
        "give off chloramines, as urine holds ammonia",
        _COLUMBIA,
    ),
    _pair(_BLEACHES, "ammonia", "give off chloramine gases", _NFPA),
    _pair(_BLEACHES, _ACIDS, _CHLORINE, _COLUMBIA),
    _pair(_BLEACHES, "alcohol", "form chloroform", _NFPA),
    _pair(_BLEACHES, "acetone", "form chloroform and the like", _TEXTBOOKS),
    _pair(_BLEACHES, "peroxide", "give off oxygen and heat so fast that they spatter", _EXPLAINER),
    _pair(_BLEACHES, "oven-cleaner pool-chlorine insecticide", "react", _WASHINGTON),
    _pair(_BLEACHES, "quats", "give off irritating vapours and lose their use", _LABELS),
    _pair("peroxide", "vinegar", "form peracetic acid, which burns skin, eyes and lungs", _NFPA),
    _pair("drain-opener", "toilet-cleaner", "may react: the pair is warned against", _BEYOND),
    _pair("drain-opener", _CLEANERS, "can give off gas, or be thrown back out of the drain", _EPA),
    _pair(_CAUSTICS, _ACIDS, "boil up and spatter, the worse the stronger they are", _WRITER),
)
"""The first row that holds two things speaks of them. Baking soda with vinegar has none: the
two fizz, and only a closed bottle of them can burst."""


def danger(thing: str, other: str) -> Danger | None:
    """What is known of two different things meeting, or None where nothing speaks against it."""
    if thing == other:
        return None
    for row in DANGERS:
        if (thing in row.one and other in row.other) or (other in row.one and thing in row.other):
            return row
    return None


def is_dangerous(thing: str) -> bool:
    """True for a thing that some other must never meet."""
    return any(thing in row.one or thing in row.other for row in DANGERS)

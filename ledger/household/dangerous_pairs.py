"""Dangers: which things must never meet, what happens if they do, and who says so.

Messages say what happens, never how to cause it. Sources are marked as in `hazards`. A kind of
product (glass cleaner, toilet-bowl cleaner, drain opener) belongs to more than one chemical
family, so its label decides (Columbia University, student health service). Baking soda with
vinegar has no row: the two fizz, and only a closed bottle of them can burst. Bleach with lye
has none either: many drain openers hold both.
"""

from __future__ import annotations

from typing import NamedTuple

from ledger.household.cautions import HAZARDS


class Danger(NamedTuple):
    """Two kinds of things that must never meet, and what happens if they do."""

    one: frozenset[str]
    other: frozenset[str]
    gives: str
    """What the two do; `must never meet` if the message should say no more."""
    source: str


_CHOP = "Children's Hospital of Philadelphia, Poison Control Center, no date"
_COLUMBIA = "Columbia University, Chlorine gas from household cleaners"
_CORNELL = "Cornell University EHS, Laboratory Safety Manual, appendix K, no date"
_CHLORINE_INSTITUTE = (
    "Chlorine Institute, sodium hypochlorite incompatibility chart, no date (copy)"
)
_CHAUTAUQUA = "Chautauqua County Emergency Services, 2021"
_COLORADO = "Colorado Dept. of Public Health and Environment, household acids and bases, no date"
_EPA_DRAINS = "US EPA, household hazardous waste text (archived 2008)"
_EPA_TOILETS = "US EPA, household products pages for families: toilet cleaners, no date"
_MARYLAND = "Maryland Department of Health, pool safety page, no date"
_NFPA = "NFPA, The dangers of mixing household chemicals, 2020"
_OHIO = "Ohio State University, chemical compatibility, no date"
_TORRANCE = "Torrance (California) Fire Department, household cleaners, no date"
_UTAH = "University of Utah EHS, bleach incompatibility, no date"
_WASHINGTON = "Washington State Department of Health, as reported, no date"
_WILTON = "Wilton, Connecticut (town), pool safety page, no date"

_CHLORINE = "give off chlorine gas"
_THROWN_BACK = "can give off gas, or be thrown back out of the drain"


def _named(*canonical: str) -> frozenset[str]:
    """All words of some hazards, each given by its first word."""
    return frozenset(word for name in canonical for word in HAZARDS[name].words)


_BLEACHES = _named("bleach")
_ACIDS = _named("acid", "muriatic-acid") | {"pool-acid"}
_TOILET = _named("toilet-cleaner")
_GLASS = _named("glass-cleaner")
_OPENERS = _named("drain-opener")
_CAUSTICS = _named("lye", "oven-cleaner")
_PEROXIDES = _named("peroxide")
_ACETONES = _named("acetone")
_DISHWASHER = _named("dishwasher-detergent") - {"scouring-powder"}
_HYPOCHLORITE = frozenset({"calcium-hypochlorite"})
_ISOCYANURATES = frozenset({"trichlor", "dichlor"})
_POOL_CHLORINES = _named("pool-chlorine") | {"chlorine"}
_CLEANERS = (
    _BLEACHES
    | _ACIDS
    | _TOILET
    | _GLASS
    | _CAUSTICS
    | _PEROXIDES
    | _POOL_CHLORINES
    | _named("ammonia", "quats", "dishwasher-detergent")
)
_BURNS = _named("alcohol", "acetone", "peroxide", "petrol", "hot-oil") | {"white-spirit"}
_INSECTICIDES = frozenset({"insecticide", "pesticide", "bug-spray"})

DANGERS: tuple[Danger, ...] = (
    Danger(_POOL_CHLORINES, _ACIDS, "give off chlorine gas, or burst", _MARYLAND),
    Danger(_POOL_CHLORINES, _named("ammonia") | _GLASS, "give off toxic gas", _CORNELL),
    Danger(
        _HYPOCHLORITE,
        _ISOCYANURATES,
        "heat up and give off toxic gas, and can burst",
        _CHAUTAUQUA,
    ),
    Danger(
        _BLEACHES,
        _POOL_CHLORINES,
        "heat up and give off toxic gas, and can burst",
        _CHAUTAUQUA,
    ),
    Danger(_POOL_CHLORINES, _BURNS, "can catch fire", _WILTON),
    Danger(_BLEACHES, _ACIDS, _CHLORINE, _CHOP),
    Danger(_BLEACHES, _named("ammonia"), "give off chloramine gas", _CHOP),
    Danger(_BLEACHES, _TOILET, f"{_CHLORINE} where the cleaner is an acid", _EPA_TOILETS),
    Danger(_BLEACHES, _OPENERS, f"{_CHLORINE} where the opener is an acid", _CHOP),
    Danger(_BLEACHES, _GLASS, "give off chloramine gas or chlorine gas, by its kind", _COLUMBIA),
    Danger(_BLEACHES, _named("alcohol"), "form chloroform", _NFPA),
    Danger(_BLEACHES, _ACETONES, "form chloroform and other chlorinated solvents", _UTAH),
    Danger(_BLEACHES, _PEROXIDES, "release oxygen violently and spatter", _UTAH),
    Danger(_BLEACHES, _named("quats"), "give off irritating gases", _CHLORINE_INSTITUTE),
    Danger(_BLEACHES, _INSECTICIDES, "may give off chlorine gas", _CHLORINE_INSTITUTE),
    Danger(_BLEACHES, _named("oven-cleaner"), "react", _WASHINGTON),
    Danger(_BLEACHES, _DISHWASHER, f"{_CHLORINE} where the product is an acid", _COLUMBIA),
    Danger(
        _BLEACHES,
        _named("litter-box", "nappy-pail"),
        "give off chloramines, as urine holds ammonia",
        _COLUMBIA,
    ),
    Danger(_OPENERS, _TOILET, _THROWN_BACK, f"{_EPA_DRAINS}; {_EPA_TOILETS}"),
    Danger(_OPENERS, _CLEANERS | _OPENERS, _THROWN_BACK, _EPA_DRAINS),
    Danger(
        _named("dishwasher-detergent") - {"rinse-aid"},
        _ACIDS | _TOILET,
        f"{_CHLORINE} where the powder holds chlorine",
        _TORRANCE,
    ),
    Danger(
        _CAUSTICS,
        _ACIDS | _TOILET,
        "boil up and spatter, the worse the stronger they are",
        f"{_OHIO}; {_COLORADO}",
    ),
    Danger(
        _PEROXIDES,
        frozenset({"vinegar"}),
        "form peracetic acid, which burns skin, eyes and lungs",
        _NFPA,
    ),
    Danger(_ACETONES, _PEROXIDES, "must never meet", _OHIO),
)
"""For two things the first row that holds both counts."""

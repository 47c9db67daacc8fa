"""Hazards: what can hurt in a household, what to mind with it, and who says so.

Taken from what agencies, standards bodies, poison centres and universities publish. A source is
marked `(copy)` if a full copy elsewhere was read, `as reported` if only a page about it was
read, and `from memory` if no page was. Every caution is shorter than a label.
"""

from __future__ import annotations

from typing import NamedTuple


class Hazard(NamedTuple):
    """One thing that can hurt, with all its names."""

    words: tuple[str, ...]
    """The words that a book may use for it, the canonical one first."""
    everyday: frozenset[str]
    """Words that also name harmless things, and mean the hazard only behind `uses`."""
    caution: str
    """What to mind with it."""
    source: str
    """Who says so, and how that is known."""


def _hazard(words: str, caution: str, source: str) -> Hazard:
    """A hazard; `words` is one text, with a star behind each everyday word."""
    starred = words.split()
    return Hazard(
        tuple(word.rstrip("*") for word in starred),
        frozenset(word.rstrip("*") for word in starred if word.endswith("*")),
        caution,
        source,
    )


ALL: tuple[Hazard, ...] = (
    _hazard(
        "bleach hypochlorite mildew-remover mould-remover mold-remover",
        "mix it with nothing but water, as its label says; open a window; wear gloves",
        "CDC, cleaning and disinfecting notice CS316270A, 2020 (copy)",
    ),
    _hazard(
        "acid vinegar* citric-acid* descaler rust-remover lime-remover limescale-remover "
        "phosphoric-acid brick-cleaner",
        "never with bleach: the two give off chlorine gas; open a window",
        "Children's Hospital of Philadelphia, Poison Control Center, no date",
    ),
    _hazard(
        "muriatic-acid hydrochloric-acid sulfuric-acid sulphuric-acid battery-acid",
        "it burns skin and eyes at once: gloves and goggles; never with bleach or lye",
        "National Capital Poison Center, caution with caustics, 2008; what it must not meet, "
        "from memory",
    ),
    _hazard(
        "toilet-cleaner",
        "some are acid, some are bleach: use no other product with it; open a window",
        "US EPA, household products pages for families: toilet cleaners, no date",
    ),
    _hazard(
        "ammonia",
        "never with bleach: the two give off chloramine gas; open a window",
        "Children's Hospital of Philadelphia, Poison Control Center, no date",
    ),
    _hazard(
        "glass-cleaner window-cleaner*",
        "some hold ammonia, some acid: never with bleach",
        "Columbia University, Chlorine gas from household cleaners",
    ),
    _hazard(
        "lye caustic caustic-soda sodium-hydroxide",
        "it burns skin and eyes at once: gloves and goggles; never with acid or any other product",
        "National Capital Poison Center, caution with caustics, 2008",
    ),
    _hazard(
        "drain-opener drain-cleaner drain-unblocker",
        "gloves and goggles; no other product in that drain, and no plunger after it",
        "US EPA, household hazardous waste text (archived 2008)",
    ),
    _hazard(
        "oven-cleaner",
        "it burns skin and eyes: gloves, goggles, open window; a cold oven unless its label "
        "says warm",
        "US EPA, household products pages for families: oven cleaners, no date; the cold "
        "oven, from memory",
    ),
    _hazard(
        "alcohol* rubbing-alcohol isopropyl surgical-spirit methylated-spirit meths",
        "its vapour burns: no flame near it; open a window; never with bleach",
        "Washington State Dept. of Labor and Industries, hazard alert on isopropyl alcohol, "
        "as reported, its year 2021 from memory; NFPA, The dangers of mixing household chemicals, "
        "2020",
    ),
    _hazard(
        "acetone nail-polish-remover",
        "its vapour burns: no flame near it; open a window; never with bleach or peroxide",
        "Ohio State University, chemical compatibility, no date",
    ),
    _hazard(
        "white-spirit turpentine paint-thinner linseed-oil oily-rags",
        "dry oily rags flat out of doors, or shut them wet in a metal tin: a heap can catch "
        "fire by itself",
        "NFPA, as reported, no date; to wet them, from memory",
    ),
    _hazard(
        "petrol* gasoline petrol-can",
        "as fuel only, out of doors only; let the engine cool before filling; no flame near it",
        "Los Alamos National Laboratory, gasoline safety, 2003",
    ),
    _hazard(
        "peroxide hydrogen-peroxide",
        "never with vinegar, bleach or acetone, in a bottle or on a surface",
        "NFPA, The dangers of mixing household chemicals, 2020; Ohio State University, no date",
    ),
    _hazard(
        "quats quaternary-ammonium",
        "on its own: never with bleach or another cleaner",
        "Chlorine Institute, incompatibility chart, no date (copy)",
    ),
    _hazard(
        "pesticide insecticide bug-spray weedkiller weed-killer herbicide rat-poison "
        "rodenticide mothballs* slug-pellets",
        "follow its label to the letter; keep it in its own bottle, locked away; keep "
        "children and pets off",
        "US EPA, Read the Label First: protect your household, no date; slug pellets, from memory",
    ),
    _hazard(
        "pool-chlorine calcium-hypochlorite trichlor dichlor pool-shock",
        "never with acid, ammonia or another pool product; put it in water, never water on it",
        "Maryland Department of Health, pool safety page, no date",
    ),
    _hazard(
        "pool-chemical pool-chemicals pool-acid chlorine*",
        "store dry, cool, locked, each kind apart in its own container; none above another kind",
        "New York State Department of Health, swimming pool chemicals fact sheet, no date",
    ),
    _hazard(
        "dishwasher-detergent* rinse-aid* scouring-powder",
        "some are acids and some hold chlorine: never with bleach or acid",
        "Columbia University, Chlorine gas from household cleaners; Torrance Fire Department, no "
        "date",
    ),
    _hazard(
        "detergent-pods* laundry-pods*",
        "keep them locked up and out of a child's reach and sight",
        "US HHS, Poison Help, 2012",
    ),
    _hazard(
        "dry-ice",
        "thick gloves; an aired room; never in a tight container, a sink or a bin",
        "CDC, dry ice safety sheet CS321629-B, 2021 (copy)",
    ),
    _hazard(
        "litter-box cat-litter* litter-tray",
        "let someone not pregnant do it, or wear gloves; wash hands after; change it every "
        "day; no bleach",
        "CDC on toxoplasmosis, as reported, no date; Columbia University, Chlorine gas from "
        "household cleaners",
    ),
    _hazard(
        "nappy-pail diaper-pail",
        "never with bleach: urine holds ammonia, the two give off chloramines",
        "Columbia University, Chlorine gas from household cleaners",
    ),
    _hazard(
        "rodent-droppings mouse-droppings rat-droppings mouse-nest",
        "do not sweep or vacuum: air 30 minutes, glove, soak with disinfectant 5 minutes, wipe up",
        "CDC, hantavirus: clean up (archived 2008)",
    ),
    _hazard(
        "bird-droppings bat-droppings pigeon-droppings guano",
        "raise no dust: wet it first; leave a large heap to a trained firm",
        "CDC/NIOSH, histoplasmosis: controls, no date; Mississippi State Department of "
        "Health, no date",
    ),
    _hazard(
        "mould* mold* black-mould black-mold",
        "over 10 sq ft (1 m2), or after sewage: a professional; else N95 mask, gloves, goggles",
        "US EPA, mold cleanup in your home, no date (copy)",
    ),
    _hazard(
        "asbestos",
        "leave it alone: no drilling, sanding, sweeping or vacuuming; an accredited firm "
        "tests and removes",
        "US CPSC, US EPA and American Lung Association, Asbestos in the Home, CPSC document "
        "453, no date (copy)",
    ),
    _hazard(
        "lead-paint old-paint* paint-scraping",
        "paint from before 1978: do not sand or scrape it; test it; a lead-safe certified "
        "firm removes it",
        "US EPA, Renovate Right, no date (copy)",
    ),
    _hazard(
        "medicine* medicines* medication* pills*",
        "take it back to a pharmacy or a take-back; not down the drain unless on the flush list",
        "US FDA, drug disposal pages, 2024; Kansas Poison Center, no date",
    ),
    _hazard(
        "button-battery* coin-battery* coin-cell*",
        "keep from children; if swallowed go to the emergency room at once",
        "Ontario Poison Centre, batteries, no date",
    ),
    _hazard(
        "cfl* fluorescent-tube* fluorescent-lamp* energy-bulb*",
        "broken: people out, air 5-10 minutes, heating off; no vacuum; scoop into a sealed jar",
        "US EPA, cleaning up a broken CFL, as reported, its year 2011 from memory",
    ),
    _hazard(
        "mercury* mercury-thermometer",
        "broken: no broom, no vacuum, not down the drain; over 2 tablespoons: professional help",
        "US EPA, Mercury Quick Facts: cleaning up mercury spills in your house, no date",
    ),
    _hazard(
        "ladder* extension-ladder straight-ladder",
        "base 1 out for each 4 up, on firm level ground; 3 ft (1 m) above a landing; someone "
        "at its foot",
        'North Carolina State University EHS, "The 4-to-1 ratio; 3-foot rule"; San Joaquin '
        "County, no date",
    ),
    _hazard(
        "stepladder step-ladder steps*",
        "open it fully and lock it; never lean it shut on a wall; not the top or the top step",
        "University of Montana, portable ladder safety, no date",
    ),
    _hazard(
        "roof* roof-tiles roof-work",
        "a fall can kill: leave work on it to a trade with the gear",
        "UK HSE, Health and safety in roof work, HSG33, 5th edition (copy); to leave it to a "
        "trade, from memory",
    ),
    _hazard(
        "gutter* gutters* gutter-cleaning",
        "from a set ladder with someone at its foot, or a pole from the ground; never from "
        "the roof",
        "UK HSE, gutter case study, as reported, no date; the ladder and who holds it, from memory",
    ),
    _hazard(
        "high-windows upper-windows",
        "from inside or with a pole from the ground; do not lean out or stand on the sill",
        "UK HSE, working at height whilst window cleaning, no date",
    ),
    _hazard(
        "gas* gas-leak gas-smell",
        "smell gas: out at once, no switch or flame; call the gas emergency line or fire "
        "service from outside",
        "Pennsylvania Public Utility Commission, gas emergencies, no date",
    ),
    _hazard(
        "gas-boiler* boiler* furnace* gas-heater gas-fire gas-work",
        "a registered engineer once a year, and for any work on it",
        "UK HSE, gas safety: home owners, no date",
    ),
    _hazard(
        "generator* portable-generator petrol-generator",
        "never indoors or in a garage; 20 ft (6 m) from any window, door or vent; a CO alarm "
        "in the home",
        "Electrical Safety Foundation International, portable generators, no date",
    ),
    _hazard(
        "charcoal* barbecue* camp-stove",
        "out of doors only: carbon monoxide kills in a house, garage or tent",
        "Florida Department of Health, as reported, 2024",
    ),
    _hazard(
        "co-alarm* carbon-monoxide*",
        "test it every month; if it sounds, out to fresh air and call the fire service from there",
        "NFPA, carbon monoxide safety, as reported, no date",
    ),
    _hazard(
        "smoke-alarm* smoke-alarms* smoke-detector*",
        "test it every month; never take it down or leave it without a battery; a new unit "
        "at 10 years",
        "US Fire Administration, smoke alarms, as reported, 2020",
    ),
    _hazard(
        "fire-extinguisher* extinguisher*",
        "only on a small fire, the service called, the way out behind you; if in doubt get out",
        "South Carolina State Fire, fire extinguishers, no date",
    ),
    _hazard(
        "chimney* flue* wood-stove*",
        "have it looked at every year and swept where needed, by a certified sweep",
        "NFPA 211, as reported",
    ),
    _hazard(
        "ash* ashes* hot-ash embers*",
        "cold first; then in a metal can with a tight lid, wet, out of doors, 10 ft (3 m) "
        "from the house",
        "Massachusetts Department of Fire Services, as reported, 2023",
    ),
    _hazard(
        "hot-oil deep-fryer deep-frying chip-pan",
        "never leave it; if it burns, a lid on and heat off; never water",
        "NFPA, cooking oil, no date",
    ),
    _hazard(
        "space-heater* fan-heater*",
        "3 ft (1 m) from anything that burns; in a wall socket, never an extension lead",
        "US CPSC, winter storm tips, as reported, no date",
    ),
    _hazard(
        "lithium-battery lithium-ion ebike-battery",
        "its maker's charger only, never overnight or out of sight; not in the household bin",
        "Phoenix (Arizona) Fire Department, battery safety, no date; US EPA, used "
        "lithium-ion batteries, 2021",
    ),
    _hazard(
        "mains* wiring* rewiring electricity* fuse-box breaker-panel",
        "work on wiring, sockets or the board is for a licensed electrician: call one first",
        "Idaho Department of Insurance, electrical safety, no date",
    ),
    _hazard(
        "extension-cord* extension-lead*",
        "for a short time only; not under a rug or through a wall; no heater on it",
        "Electrical Safety Foundation International, no date",
    ),
    _hazard(
        "mower lawnmower lawn-mower",
        "stop it, wait till the blade is still, pull the spark-plug wire or battery or plug, "
        "then reach in",
        "University of California IPM, lawn mower safety tips, no date; the still blade and "
        "the battery, from memory",
    ),
    _hazard(
        "chainsaw chain-saw",
        "think of a tree firm first; helmet, face, ear and leg guards, gloves, boots; training",
        "New York State Department of Health and NIOSH FACE, Chainsaw Safety for Homeowners, "
        "no date",
    ),
    _hazard(
        "pressure-washer power-washer",
        "never at people or yourself; cord off wet ground; petrol ones outdoors; a doctor "
        "for any wound",
        "CDC, pressure washer safety, as reported, 2022",
    ),
    _hazard(
        "garage-spring garage-springs torsion-spring",
        "springs and cables are under high tension: a trained door technician only",
        "door makers' trade bodies, as reported, no date",
    ),
    _hazard(
        "hot-water* water-heater*",
        "120 F (49 C) at the tap against scalds, yet 140 F (60 C) in a tank against "
        "legionella: ask a plumber",
        "UK HSE, legionella: hot and cold water systems, no date; US CPSC, as reported",
    ),
    _hazard(
        "septic-tank septic cesspool manhole well-pit",
        "never enter or lean into it, not even to save someone: its gas kills; a licensed "
        "firm only",
        "CDC/NIOSH, FACE report 8638, 1986",
    ),
)

HAZARDS = {word: hazard for hazard in ALL for word in hazard.words}
"""Every hazard by each of its words."""
EVERYDAY = frozenset(word for hazard in ALL for word in hazard.everyday)
"""Words that mean a hazard only behind `uses`."""

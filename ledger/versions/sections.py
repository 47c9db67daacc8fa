"""Sections: which sections of two versions are the same, and what each is called."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Mapping, Sequence

from ledger.household.cadence import container
from ledger.household.model import Section
from ledger.text.cadences import write_cadence
from ledger.versions.clause_texts import SECTION

_ALIKE: Sequence[Callable[[Section], Hashable]] = (
    lambda section: section,
    lambda section: (section.cadence, section.title),
    lambda section: section.title,
    lambda section: section.cadence,
)
"""Keys by which two sections count as the same; the first one that pairs them decides."""


def paired(before: Sequence[Section], after: Sequence[Section]) -> dict[Section, Section]:
    """Sections of the version after, by those of the version before.

    Two sections are the same if they are equal; else if no other has their cadence and title, else
    their title, else their cadence. So a section may change its days or its title, and the order
    of the book does not matter.
    """
    gone, come = dict.fromkeys(before), dict.fromkeys(after)
    pairs = {}
    for key in _ALIKE:
        lone = _lone(come, key)
        for name, old in _lone(gone, key).items():
            if name in lone:
                pairs[old] = lone[name]
                del gone[old], come[lone[name]]
    return pairs


def _lone(
    sections: Mapping[Section, object], key: Callable[[Section], Hashable]
) -> dict[Hashable, Section]:
    """The sections that share a key with no other, by that key."""
    count = Counter(map(key, sections))
    return {name: one for one in sections if (name := key(one)) is not None and count[name] == 1}


def names_of(sections: Sequence[Section]) -> Callable[[Section], str]:
    """What each of the sections is called: its container, and all that its header says where
    several have that name."""
    count = Counter(map(container, dict.fromkeys(sections)))

    def named(section: Section) -> str:
        name = container(section)
        if count[name] < 2:
            return name
        words = [name] if section.title is None else [name, write_cadence(section.cadence)]
        for clause, text_of in SECTION.items():
            if clause != "cadence" and (text := text_of(section)):
                words.append(text if clause == text else f"{clause} {text}")
        return " ".join(words)

    return named

"""Cadences: what a section's container is called."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from ledger.household.model import Section
from ledger.text.cadences import write_cadence


class Container(NamedTuple):
    """Sections that are called the same."""

    title: str
    sections: tuple[Section, ...]


def container(section: Section) -> str:
    """What a section's container is called: its title, else its cadence."""
    return section.title or write_cadence(section.cadence)


def containers(sections: Iterable[Section]) -> dict[str, Container]:
    """The containers of some sections by what they are called."""
    by_title: dict[str, Container] = {}
    for section in sections:
        title = container(section)
        before = by_title[title].sections if title in by_title else ()
        by_title[title] = Container(title, (*before, section))
    return by_title

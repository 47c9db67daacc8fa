"""Cadences: what a section's container is called."""

from __future__ import annotations

from ledger.household.model import Section
from ledger.text.cadences import write_cadence


def container(section: Section) -> str:
    """What a section's container is called: its title, else its cadence."""
    return section.title or write_cadence(section.cadence)

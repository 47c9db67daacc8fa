"""Cadences in meaning: what a container is called, and what falls on no day."""

from __future__ import annotations

from ledger.household.model import Section
from ledger.text.cadences import write_cadence


def container(section: Section) -> str:
    """What a section's container is called: its title, else its cadence as the book says it."""
    return section.title or write_cadence(section.cadence)

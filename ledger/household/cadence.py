"""Cadences in meaning: what a container is called, and what falls on no day."""

from __future__ import annotations

from ledger.household.model import Section
from ledger.text.cadences import write_cadence
from ledger.text.tree import Cadence

LONGEST_MONTH = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def container(section: Section) -> str:
    """What a section's container is called: its title, else its cadence as the book says it."""
    return section.title or write_cadence(section.cadence)


def never_falls(cadence: Cadence) -> bool:
    """True where no month that a cadence names has any of its days: the 31st of June."""
    if not cadence.on or any(day.weekday is not None or day.number < 0 for day in cadence.on):
        return False
    months = cadence.months or tuple(range(1, 13))
    return all(day.number > LONGEST_MONTH[month - 1] for day in cadence.on for month in months)

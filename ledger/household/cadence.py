"""Cadences in meaning: how long a period is, what a container is called, what cannot be."""

from __future__ import annotations

from ledger.household.model import Section
from ledger.text.tree import Cadence, MonthDay
from ledger.text.writer import write_cadence

YEAR = 365.25
MONTH = YEAR / 12
FIFTH_WEEKENDS = YEAR / 7 - 48
"""Months in a year that have a fifth weekend: four or five, 4.18 on average."""


def container(section: Section) -> str:
    """What a section's container is called: its title, else its cadence as the book says it."""
    return section.title or write_cadence(section.cadence)


def period_days(cadence: Cadence, weekend_days: int = 2) -> float:
    """Days from one window to the next on average; for `once`, the length of its span.

    A season does not stretch it: a chore done weekly from April to October is weekly.
    """
    match cadence.kind:
        case "day" | "after-done":
            return float(cadence.every)
        case "weekday":
            return 7 / (7 - weekend_days)
        case "weekend":
            return 7.0
        case "numbered-weekend":
            return YEAR / _weekends_a_year(cadence.weekends)
        case "named-day":
            return 7 / len(cadence.days)
        case "week":
            return 7 * cadence.every / max(1, len(cadence.days))
        case "month":
            return MONTH * cadence.every / _times(cadence.on)
        case "named-month":
            return YEAR / len(cadence.months) / _times(cadence.on)
        case _:
            return float(cadence.last - cadence.first + 1)


def _weekends_a_year(numbers: tuple[int, ...]) -> float:
    """How often a year's numbered weekends come round; the fifth is at times the last one too."""
    often = 12 * sum(number != 5 for number in numbers)
    return often if 5 not in numbers or -1 in numbers else often + FIFTH_WEEKENDS


def _times(on: tuple[MonthDay, ...]) -> float:
    """How often a month's days come round; every Friday of a month is 4.35 of them."""
    if not on:
        return 1
    return sum(MONTH / 7 if day.weekday is not None and day.number == 0 else 1 for day in on)

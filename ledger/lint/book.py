"""What a rule looks at: the text as read, the household it describes, and the day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ledger.household.model import Household
from ledger.text.tree import Tree
from ledger.text.values import DAYS, MONTHS

YEAR_AHEAD = 366
"""Days that rules look ahead."""


@dataclass(frozen=True)
class Book:
    """A household with its trees, as they stand on a day."""

    trees: Sequence[Tree]
    household: Household
    today: int


def dated(day: int) -> str:
    """A day as findings say it: `Mon 4 May 2026`."""
    when = date.fromordinal(day)
    return (
        f"{DAYS[when.weekday()][:3].title()} {when.day} {MONTHS[when.month - 1][:3].title()} "
        f"{when.year}"
    )


def days_from(first: int, last: int) -> str:
    """A span of days as findings say it."""
    return dated(first) if first == last else f"{dated(first)} to {dated(last)}"


def listed(words: Sequence[str], most: int = 4) -> str:
    """Words in a row, cut where there are many: `oven, sheets and 3 more`."""
    if len(words) <= most:
        return ", ".join(words)
    return f"{', '.join(words[: most - 1])} and {len(words) - most + 1} more"


def more(count: int, one: str, many: str) -> str:
    """`1 more line is`, `3 more lines are`: what is folded into a finding."""
    return f"{count} more {one if count == 1 else many}"

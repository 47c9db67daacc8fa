"""Words: counts, lists and durations as screens, findings and books write them."""

from __future__ import annotations

from collections.abc import Sequence


def counted(count: int, one: str, many: str) -> str:
    """`1 day`, `3 days`."""
    return f"{count} {one if count == 1 else many}"


def more(count: int, one: str, many: str) -> str:
    """`1 more line is`, `3 more lines are`: what a finding counts but does not show."""
    return f"{count} more {one if count == 1 else many}"


def days_text(count: int) -> str:
    """`1 day`, `3 days`, in books too."""
    return counted(count, "day", "days")


def listed(words: Sequence[str], most: int = 4) -> str:
    """A list of words, cut short where it is long: `oven, sheets and 3 more`."""
    if len(words) <= most:
        return ", ".join(words)
    return f"{', '.join(words[: most - 1])} and {len(words) - most + 1} more"


def long_time(days: int) -> str:
    """A number of days in the unit that is read at a glance: `40 days`, `15 months`, `3 years`."""
    if days < 60:
        return days_text(days)
    return f"{round(days / 30.44)} months" if days < 730 else f"{round(days / 365.25)} years"


def duration(minutes: float) -> str:
    """Whole minutes as a book writes them: `15 min`, `2 h`, `1 h 30 min`."""
    hours, rest = divmod(round(minutes), 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"

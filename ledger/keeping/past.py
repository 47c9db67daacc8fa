"""The past: what became of each window, counted once, on one day.

A window counts on the day it was settled, an unsettled one on its last day. So if a stretch of
days is split into spans, each window counts in just one of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import attrgetter
from typing import NamedTuple

from ledger.calendar.windows import Timeline
from ledger.household.model import Chore, Household
from ledger.keeping.history import shares_of
from ledger.keeping.occasion import Occasion
from ledger.keeping.record_lines import RecordReference


class Past(NamedTuple):
    """What became of a chore, or of one person's share of it, in a span of days."""

    timeline: Timeline
    outcomes: tuple[Occasion, ...]
    """In order of the day on which they count."""
    extras: tuple[RecordReference, ...]
    """Lines that took no window."""


def pasts_of(household: Household, chore: Chore, low: int, high: int, on: int) -> Sequence[Past]:
    """What became of the windows of each share of a chore that count from day `low` to `high`, no
    later than `on`, by a record known up to `on`.

    Excused windows are left out, and so are those with days after `on`, unless settled.
    """
    high = min(high, on)
    pasts = []
    for share in shares_of(household, chore, low, on):
        counted = [
            one for one in share.occasions if low <= one.counted <= high and one.fate is not None
        ]
        counted.sort(key=attrgetter("counted"))
        extras = tuple(line for line in share.extras if low <= line.day <= high)
        pasts.append(Past(share.timeline, tuple(counted), extras))
    return pasts

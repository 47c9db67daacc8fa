"""Neglect: how many of its periods a chore was not done for, whatever became of its windows.

A window that opens today is in time, and hides how long ago the one before it was done.
"""

from __future__ import annotations

from bisect import bisect_left
from itertools import islice
from math import ceil
from typing import NamedTuple

from ledger.calendar.occurrences import period_days
from ledger.calendar.windows import Timeline
from ledger.household.model import Household
from ledger.keeping.record_lines import last_done

MOST_PERIODS = 3
"""More periods than these are neglect."""
SHORTEST = 7
"""Days of the shortest period that counts: of what comes round more often, any few days off would
be neglect."""


class Neglect(NamedTuple):
    """For how long a chore was not done."""

    since: int
    """The day on which it was last done; where it never was, the first on which it was asked."""
    was_done: bool
    periods: float
    """How many of its periods have gone by since, by the days on which it was asked."""


def neglect(timeline: Timeline, on: int) -> Neglect | None:
    """How long a chore, or one person's share of it, was not done by a day; None up to three of
    its periods.

    Only a `did` counts as done. Days on which a line is not asked count for nothing: those out of
    its season, and those on which nobody is there who could do it. Several lines of a chore add up.
    None for a chore that was not asked in its last period, as it is out of its season; where no
    chore of the record was ever done, as nobody then says what is done; and for `once`, `spare`
    and paused lines, and those that come round more often than once a week.
    """
    household = timeline.household
    key = "neglect", timeline.chore.name, timeline.person, on
    known: Neglect | None = household.remember(key, lambda: _neglect(timeline, on))
    return known


def _neglect(timeline: Timeline, on: int) -> Neglect | None:
    household = timeline.household
    weekend = len(household.weekend)
    lines = [
        (timeline.line_of(routine).asked, period)
        for routine in timeline.routines
        if not (routine.paused or routine.spare or routine.section.cadence.is_once)
        and (period := period_days(routine.section.cadence, weekend)) >= SHORTEST
    ]
    if not lines:
        return None
    done = last_done(household.log, timeline.chore.name, on, timeline.person)
    since = done.day if done else household.start - 1
    if sum((on - since) / period for _, period in lines) <= MOST_PERIODS:
        return None
    if done is None:
        firsts = [asked.first(since + 1, on) for asked, _ in lines]
        since = min((first for first in firsts if first is not None), default=on)
    periods = sum(asked.count(since + 1, on) / period for asked, period in lines)
    if periods <= MOST_PERIODS or not _says_what_is_done(household, on):
        return None
    if all(asked.last(max(1, on - ceil(period) + 1), on) is None for asked, period in lines):
        return None
    return Neglect(since, done is not None, periods)


def _says_what_is_done(household: Household, on: int) -> bool:
    """True if the record of the days before a day, none of them taken as kept, has a `did`."""
    log, today = household.log, household.as_of
    end = bisect_left(log.dates, on if today is None else min(on, today))
    return any(entry.verb == "did" for entry in islice(log.entries, end))

"""Lines: when one line of the routine opens windows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ledger.calendar.occurrences import Rhythm, Span, longest, section_spans
from ledger.calendar.week import months_of
from ledger.household.model import Household, Routine, Section


def rhythm_of(household: Household, section: Section, first: int) -> Rhythm:
    """The rhythm of a section; without a `from` it counts from `first`, its first day in force."""
    anchor = first if section.first is None else section.first
    months = months_of(section.during)
    return Rhythm(section.cadence, anchor, household.week_start, household.weekend, months)


class LineInForce(NamedTuple):
    """A calendar line of a chore, with the days on which it is in force: at least one."""

    routine: Routine
    first: int
    last: int
    rhythm: Rhythm
    reach: int
    """An upper bound, in days, on the length of its windows."""
    opens_by: int
    """A day after which none of its windows opens."""

    @classmethod
    def of(cls, household: Household, routine: Routine, first: int, last: int) -> LineInForce:
        """A line of the routine, in force from `first` to `last`."""
        section = routine.section
        once = section.cadence.is_once
        opens_by = min(last, max(first, section.cadence.first)) if once else last
        rhythm = rhythm_of(household, section, first)
        return cls(routine, first, last, rhythm, longest(section), opens_by)

    def spans(self, low: int, high: int) -> Iterator[Span]:
        """Its windows, cut to its days in force, that open from `low` to `high`, in order."""
        if high < self.first or low > self.last:
            return
        # A window begun before the first day in force opens on that day.
        begin = low if low > self.first else self.first - self.reach
        spans = section_spans(self.routine.section, self.rhythm, begin, min(high, self.last))
        for first, last in spans:
            if last >= self.first:
                yield max(first, self.first), min(last, self.last)

"""Lines: when one line of the routine opens windows."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ledger.calendar.day_lists import dates_of, force_of, kept_days
from ledger.calendar.day_set import ALL, BLOCK, DaySet
from ledger.calendar.occurrences import Rhythm, cadence_spans, longest
from ledger.calendar.presence import asked
from ledger.calendar.week import MAX_DAY
from ledger.household.model import Household, Routine, Section, Span


def rhythm_of(household: Household, section: Section, first: int) -> Rhythm:
    """The rhythm of a section; without a `from` it counts from `first`, its first day in force."""
    anchor = first if section.first is None else section.first
    return Rhythm(section.cadence, anchor, household.week_start, household.weekend)


def part_kept(household: Household, routine: Routine, low: int, high: int) -> float:
    """The part of a line's spans that its lists of days leave, of those that open on some days; 1
    if none opens."""
    if not routine.is_kept_to_days:
        return 1.0
    kept, rhythm = kept_days(household, routine), rhythm_of(household, routine.section, low)
    spans = list(cadence_spans(rhythm, routine.section.within, low, min(high, MAX_DAY)))
    left = sum(kept.first(*span) is not None for span in spans)
    return left / len(spans) if spans else 1.0


class LineInForce(NamedTuple):
    """A calendar line of a chore, with the dates between which it is in force."""

    routine: Routine
    first: int
    last: int
    kept: DaySet
    """The days that its lists leave it, whatever its dates."""
    force: DaySet
    """The days on which it is in force."""
    asked: DaySet
    """The days on which it is asked."""
    rhythm: Rhythm
    reach: int
    """An upper bound, in days, on the length of its windows."""
    opens_by: int
    """A day after which none of its windows opens."""

    @classmethod
    def of(cls, household: Household, routine: Routine, person: str | None) -> LineInForce:
        """A line of the routine, for the household or for one person's share."""
        section, dates = routine.section, dates_of(household, routine)
        days_asked = asked(household, routine, person)
        opens_by = dates[1]
        if section.cadence.is_once:
            once = days_asked.first(max(dates[0], section.cadence.first))
            opens_by = dates[0] if once is None else once
        return cls(
            routine,
            *dates,
            kept_days(household, routine),
            force_of(household, routine),
            days_asked,
            rhythm_of(household, section, dates[0]),
            longest(section.cadence, section.within),
            opens_by,
        )

    @property
    def is_plain(self) -> bool:
        """True if only its dates cut its windows."""
        return self.kept is ALL

    @property
    def is_always_asked(self) -> bool:
        """True if it is asked on every day from its first to its last."""
        return self.is_plain and self.asked is self.force

    def spans(self, low: int, high: int) -> Iterator[Span]:
        """Its windows, cut to its days in force, that open from `low` to `high`, in order."""
        if high < self.first or low > self.last:
            return
        if self.routine.section.cadence.is_once:
            yield from self._once(low, high)
        elif self.is_plain:
            # A window begun before the first day in force opens on that day.
            begin = low if low > self.first else self.first - self.reach
            for first, last in self._uncut(begin, min(high, self.last)):
                if last >= self.first:
                    yield max(first, self.first), min(last, self.last)
        else:
            yield from self._cut(max(low, self.first), min(high, self.last))

    def _uncut(self, low: int, high: int) -> Iterator[Span]:
        return cadence_spans(self.rhythm, self.routine.section.within, low, high)

    def _cut(self, low: int, high: int) -> Iterator[Span]:
        """As `spans`, for a line that lists of days limit; long times without a day are skipped."""
        begin = low - self.reach + 1
        for start in range(begin, high + 1, BLOCK):
            end = min(start + BLOCK - 1, high)
            held = self.force.ends(start, min(end + self.reach, MAX_DAY))
            if held is None:
                continue
            for span in self._uncut(max(start, held[0] - self.reach + 1), min(end, held[1])):
                cut = self.force.ends(*span)
                if cut is not None and low <= cut[0] <= high:
                    yield cut

    def _once(self, low: int, high: int) -> Iterator[Span]:
        """The window of `once`: it opens on the first day on which it is asked."""
        cadence = self.routine.section.cadence
        last = cadence.last
        if self.routine.section.within is not None:
            last = min(cadence.first + self.routine.section.within - 1, MAX_DAY)
        begin = self.force.first(max(cadence.first, 1), last)
        first = None if begin is None else self.asked.first(begin)
        if begin is not None and first is not None and low <= first <= high:
            yield first, max(first, self.force.last(begin, last) or first)

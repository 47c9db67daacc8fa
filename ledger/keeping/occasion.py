"""Occasion: a window of a chore, and what became of it by the record."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import Literal

from ledger.calendar.occurrences import period_days
from ledger.calendar.week import MAX_DAY
from ledger.calendar.windows import Timeline, Window
from ledger.household.model import Routine
from ledger.keeping.record_lines import RecordReference


class OutcomeKind(Enum):
    """What became of a window, as the record has it by a day."""

    DONE = "done"
    """In its days."""
    LATE = "late"
    """Done after its days."""
    EARLY = "early"
    """Done before its days."""
    SKIPPED = "skipped"
    """Excused by the record."""
    MISSED = "missed"
    """Not done, and no longer owed."""
    OWED = "owed"
    """Not done in its days, and still to be done."""
    OPEN = "open"
    """Not done yet; the last of its days is not over."""


KEPT = frozenset({OutcomeKind.DONE, OutcomeKind.LATE, OutcomeKind.EARLY})
"""Outcomes of windows whose chore was done."""
UNCOUNTED = frozenset({OutcomeKind.SKIPPED, OutcomeKind.OPEN})
"""Outcomes that say nothing of how well a routine is kept."""


State = Literal["done", "skipped", "due", "overdue"]


@dataclass(slots=True)
class Occasion:
    """A window of a chore, or of one person's share of it, and what became of it."""

    timeline: Timeline
    window: Window
    """As the calendar gives it."""
    first: int
    last: int
    """The days it is to be done on, after any move, as ordinals."""
    on: int
    """The day that the record is known up to."""
    mark: RecordReference | None = None
    """The `did` or `skipped` that settled it."""
    moved: RecordReference | None = None
    """The line that moved it last."""
    worked: int = 0
    """Minutes worked on it before it was settled."""
    is_gone: bool = False
    """True if it was excused and another window was moved beyond it."""
    is_expected: bool = False
    """True if the window before it is not done yet, and is taken as done on its first day."""
    is_owed: bool = False
    """True if it was still to be done on the day that the record is known up to."""
    closes: int = MAX_DAY
    """The last day on which it may be owed. It is set where it is not asked on the day that the
    record is known up to."""

    @property
    def routine(self) -> Routine:
        """The line of the book that it comes from."""
        return self.window.routine

    @property
    def chore(self) -> str:
        """The name of its chore."""
        return self.timeline.chore.name

    @property
    def person(self) -> str | None:
        """Whose share it is, where each does their own."""
        return self.timeline.person

    @property
    def opened(self) -> int:
        """Its first day before any move; turns are counted by it."""
        return self.window.first

    @property
    def is_excused(self) -> bool:
        """True if it is asked on none of its days, and the record says nothing else of it."""
        return self.window.excused and self.mark is None and self.moved is None

    @property
    def minutes(self) -> int:
        """The minutes left of it, as declared; 0 where the book says none."""
        return max(0, (self.routine.minutes or 0) - self.worked)

    @property
    def counted(self) -> int:
        """The day on which it counts: the day it was settled, else its last."""
        return self.mark.day if self.mark else self.last

    def is_asked(self, day: int) -> bool:
        """True if it is asked on a day from its first on, if it is owed by then."""
        if self.moved is not None and day == self.first:
            return True
        return self.timeline.line_of(self.routine).asked.holds(day)

    def asked_span(self, low: int) -> tuple[int, int] | None:
        """The days from `low` on, the first to the last, on which it is asked: those inside it, or
        where it has none left, the next one on which it may be owed."""
        if self.moved is not None and self.first >= low:
            return self.first, self.last
        line, first = self.timeline.line_of(self.routine), max(self.first, low)
        if line.is_always_asked:
            return (first, max(first, self.last)) if first <= line.last else None
        span = line.asked.ends(first, self.last)
        if span is not None:
            return span
        next_asked = line.asked.first(first)
        if next_asked is None or next_asked > self.closes:
            return None
        return next_asked, next_asked

    @property
    def is_late(self) -> bool:
        """True if it is owed, and its last day is past."""
        return self.is_owed and self.last < self.on

    @property
    def days_late(self) -> int:
        """On how many days after its last it was asked, if it is still owed; a spare one is never
        late."""
        if not self.is_late or self.routine.spare:
            return 0
        return self.timeline.line_of(self.routine).asked.count(self.last + 1, self.on)

    @property
    def lateness(self) -> float:
        """Its days late over the period of its line, so that kinds of chores compare."""
        return self.days_late / self.period

    @property
    def period(self) -> float:
        """The days of its line's period."""
        weekend = self.timeline.household.weekend
        return period_days(self.routine.section.cadence, len(weekend))

    @property
    def state(self) -> State:
        """Where it stands, if it has opened: settled, or due, or past and still owed."""
        if self.mark is not None:
            return "done" if self.mark.verb == "did" else "skipped"
        return "overdue" if self.days_late else "due"

    @property
    def fate(self) -> OutcomeKind | None:
        """What became of it; None for one that leaves no trace: it is excused, or spare and was
        not done."""
        mark = self.mark
        if mark is not None:
            if mark.verb != "did":
                return OutcomeKind.SKIPPED
            if mark.day > self.last:
                return OutcomeKind.LATE
            return OutcomeKind.EARLY if mark.day < self.first else OutcomeKind.DONE
        if self.is_excused or self.is_gone:
            return None
        if self.last >= self.on and (self.first > self.on or self.is_owed):
            return OutcomeKind.OPEN
        if self.is_owed:
            return OutcomeKind.OWED
        return None if self.routine.spare else OutcomeKind.MISSED

"""What a rule looks at: the text as read, the household it describes, and the day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import NamedTuple

from ledger.calendar.week import MAX_DAY
from ledger.calendar.windows import Timeline, Window
from ledger.household.model import Household, Routine, Section
from ledger.keeping.status import timelines
from ledger.lint.rule_cache import RuleCache
from ledger.text.source import TextRange
from ledger.text.tree import ChoreLine, Node, Tree
from ledger.text.values import DAYS, MONTHS

YEAR_AHEAD = 366
"""Days that rules look ahead, and those about what is still fresh look back."""


class ChoreAhead(NamedTuple):
    """The windows of a chore, or of one person's own share of it, in the year ahead."""

    timeline: Timeline
    windows: Sequence[Window]


@dataclass(frozen=True)
class LintedBook:
    """A household with its trees, as they stand on a day."""

    trees: Sequence[Tree]
    household: Household
    """On the day on which it is looked at."""
    memory: RuleCache = field(default_factory=RuleCache, compare=False, repr=False)

    @property
    def today(self) -> int:
        """The day on which they are looked at."""
        return self.household.today

    @property
    def days_ahead(self) -> range:
        """The 366 days from today on; fewer where the calendar ends."""
        return range(self.today, min(self.today + YEAR_AHEAD, MAX_DAY + 1))

    @cached_property
    def ahead(self) -> Mapping[str, Sequence[ChoreAhead]]:
        """The calendar windows of every chore that have one of the days ahead."""
        return {
            name: [
                ChoreAhead(timeline, self._windows(timeline))
                for timeline in timelines(self.household, chore)
            ]
            for name, chore in self.household.chores.items()
        }

    def _windows(self, timeline: Timeline) -> Sequence[Window]:
        low, high = self.days_ahead[0], self.days_ahead[-1]
        return self.memory.once(
            ("ahead", timeline.chore.name, timeline.person),
            lambda: timeline.between(low, high),
            timeline.chore,
            self.calendar,
        )

    @cached_property
    def calendar(self) -> tuple[object, ...]:
        """All that windows depend on but for the lines of their chore."""
        household = self.household
        away = [(one.first, one.last, one.people) for one in household.absences]
        days = self.today, self.start, household.week_start
        return (*days, household.weekend, away, list(household.people))

    @property
    def start(self) -> int:
        """The first day of the book."""
        return self.household.start

    def holds(self, routine: Routine, day: int) -> bool:
        """True where a line of the routine is in force on a day, and not paused."""
        first = self.start if routine.first is None else max(self.start, routine.first)
        return not routine.paused and first <= day <= (routine.last or MAX_DAY)

    def lasts(self, routine: Routine) -> bool:
        """True where a line of the routine has days in force from today on, and is not paused."""
        last = MAX_DAY if routine.last is None else routine.last
        return not routine.paused and max(self.today, routine.first or 0) <= last

    @cached_property
    def sections(self) -> Mapping[Section, Sequence[tuple[str, Routine]]]:
        """The sections that have chores, with their chores' names and lines; headers that say
        the same are one, at its first place."""
        found: dict[Section, list[tuple[str, Routine]]] = {}
        for name, chore in self.household.chores.items():
            for routine in chore.routines:
                found.setdefault(routine.section, []).append((name, routine))
        return found

    @cached_property
    def _nodes(self) -> Mapping[tuple[str, int], Node | None]:
        return {
            (tree.source.path, line.number): line.node for tree in self.trees for line in tree.lines
        }

    def node_at(self, place: TextRange) -> Node | None:
        """What the line of a place says, if it is no line of the record."""
        return self._nodes.get((place.source.path, place.line))

    def line_of(self, routine: Routine) -> ChoreLine:
        """The line of the book that a routine was read from."""
        node = self.node_at(routine.place)
        assert isinstance(node, ChoreLine)
        return node


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


def iso(day: int) -> str:
    """A day as a book writes it."""
    return date.fromordinal(day).isoformat()

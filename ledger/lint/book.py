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
"""How many days rules look ahead. Rules about recent lines look back as far."""


class ChoreAhead(NamedTuple):
    """The windows of a chore, or of one person's own share of it, in the year ahead."""

    timeline: Timeline
    windows: Sequence[Window]


@dataclass(frozen=True)
class LintedBook:
    """A household with its trees, as they stand on a day."""

    trees: Sequence[Tree]
    household: Household
    """As it stands on the day that is linted."""
    memory: RuleCache = field(default_factory=RuleCache, compare=False, repr=False)

    @property
    def today(self) -> int:
        """The day that is linted."""
        return self.household.today

    @property
    def days_ahead(self) -> range:
        """The 366 days from today on; fewer where the calendar ends."""
        return range(self.today, min(self.today + YEAR_AHEAD, MAX_DAY + 1))

    @cached_property
    def ahead(self) -> Mapping[str, Sequence[ChoreAhead]]:
        """For every chore, its calendar windows that include one of the days ahead."""
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
        """All that windows depend on, except the lines of their chore."""
        household = self.household
        away = [(absence.first, absence.last, absence.people) for absence in household.absences]
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
        """The sections that have chores, with their chores' names and lines. Equal headers count
        as one section, at the place of the first."""
        lines_of: dict[Section, list[tuple[str, Routine]]] = {}
        for name, chore in self.household.chores.items():
            for routine in chore.routines:
                lines_of.setdefault(routine.section, []).append((name, routine))
        return lines_of

    @cached_property
    def _nodes(self) -> Mapping[tuple[str, int], Node | None]:
        return {
            (tree.source.path, line.number): line.node for tree in self.trees for line in tree.lines
        }

    def node_at(self, place: TextRange) -> Node | None:
        """The parse node of the line at a place; None for a record line, and for one with no
        node."""
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

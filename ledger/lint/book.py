"""What a rule looks at: the text as read, the household it describes, and the day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import NamedTuple

from ledger.calendar.day_lists import dates_of, force_of
from ledger.calendar.week import MAX_DAY
from ledger.calendar.windows import Timeline, Window
from ledger.household.model import Chore, Household, Limit, Routine, Section
from ledger.keeping.history import timelines
from ledger.keeping.minutes import Learned, learned_minutes
from ledger.lint.rule_cache import RuleCache
from ledger.text.clauses import ChoreLine
from ledger.text.source import TextRange
from ledger.text.tree import LimitLine, Node, Tree
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
        """The 366 days from today on; fewer where the calendar ends. Loads are those of a year."""
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
        absences = [(one.keyword, one.spans, one.names, one.people) for one in household.absences]
        days = [(one.name, one.spans, one.cadences) for one in household.named_days.values()]
        begin = self.today, self.start, household.week_start
        return (*begin, household.weekend, absences, days, list(household.people))

    @property
    def start(self) -> int:
        """The first day of the book."""
        return self.household.start

    def holds(self, routine: Routine, day: int) -> bool:
        """True where the dates of a line of the routine hold a day, and it is not paused.

        Its lists of days are left aside: a chore of school days is in force in the holidays too.
        """
        first, last = dates_of(self.household, routine)
        return not routine.paused and first <= day <= last

    def lasts(self, routine: Routine) -> bool:
        """True where a line of the routine has days in force from today on, and is not paused."""
        first, last = dates_of(self.household, routine)
        if routine.paused or max(self.today, first) > last:
            return False
        force = force_of(self.household, routine)
        return not routine.is_kept_to_days or force.first(self.today) is not None

    def learned(self, chore: str) -> Learned | None:
        """The learned figure of a chore by today."""
        return self.memory.once(
            ("learned", chore),
            lambda: learned_minutes(self.household, chore, self.today),
            self.household.log.story(chore),
            self.today,
            self.behind_work(chore),
        )

    def behind_work(self, chore: str) -> tuple[object, ...]:
        """What decides with which doing the minutes of a `worked` line count, besides the record;
        nothing for a chore without such lines."""
        household = self.household
        if chore not in household.log.worked:
            return ()
        return household.chores.get(chore), self.calendar

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

    def limit_place(self, limit: Limit) -> TextRange:
        """The range of a limit without its minutes, from the first word of its line."""
        node = self.node_at(limit.place)
        assert isinstance(node, LimitLine)
        return limit.place._replace(start=0, end=(node.kind or node.who).end)


def header_alone(section: Section, line: Routine) -> Routine:
    """A line of a section with the days that its header alone gives it."""
    return line._replace(
        first=section.first,
        last=section.last,
        during=(section.during,) if section.during else (),
        excepted=section.excepted,
        paused=section.paused,
    )


def comes_in_parts(chore: Chore) -> bool:
    """True where a chore comes several times in a period, so that two doings of one day may both
    count."""
    return any(line.section.cadence.times > 1 for line in chore.routines)


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


def open_days_from(first: int, last: int) -> str:
    """As `days_from`, for a span that may have no end."""
    return f"from {dated(first)}" if last == MAX_DAY else days_from(first, last)


def iso(day: int) -> str:
    """A day as a book writes it."""
    return date.fromordinal(day).isoformat()

"""The library: a chore book for programs, with the same answers as the commands.

Start at `ledger.load`.
"""

from __future__ import annotations

import os
from collections.abc import Container, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.clock import today_of
from ledger.homes import read_household
from ledger.household.model import Household
from ledger.text.values import FIRST_YEAR
from ledger.workspace import Workspace

if TYPE_CHECKING:
    from ledger.report.ahead import Ahead
    from ledger.report.areas import Areas
    from ledger.report.chore import About
    from ledger.report.due import Due
    from ledger.report.lighten import Lighten
    from ledger.report.review import Review
    from ledger.report.scope import Scope
    from ledger.report.week import Week
    from ledger.text.finding import Finding


MINUTES_A_DAY = 24 * 60
MOST_WEEKS, MOST_MOVES = 520, 99
"""Ten years of weeks, and more moves than any book wants: an answer should not take minutes."""


class Book:
    """A chore book as of a day, `today`; `ledger.load` reads one.

    A method that gets no day answers for `today`. All answers are plain frozen data, with days as
    dates and durations in minutes.
    """

    def __init__(self, workspace: Workspace) -> None:
        self.workspace = workspace

    @classmethod
    def load(cls, *paths: str | os.PathLike[str], today: date | None = None) -> Book:
        """The book in some files and folders. Raises as `ledger.load` does."""
        workspace = read_household([Path(path) for path in paths])
        day = today_of(workspace.household) if today is None else today
        return cls(workspace.on(_ordinal(day)))

    @property
    def household(self) -> Household:
        """All that the book says: people, areas, containers, chores, and the record."""
        return self.workspace.household

    @property
    def today(self) -> date:
        """The day that the book takes for today."""
        return date.fromordinal(self.household.today)

    def due(
        self,
        day: date | None = None,
        *,
        person: str | None = None,
        area: str | None = None,
        minutes: int | None = None,
    ) -> Due:
        """What a day asks for; with `minutes`, also which tasks fit in them.

        Raises LookupError for a person or an area that the book does not have, and ValueError for
        minutes that no day has.
        """
        from ledger.report.due import due

        if minutes is not None:
            _check_range("minutes", minutes, 1, MINUTES_A_DAY)
        return due(self.household, self._day(day), self._scope(person, area), minutes)

    def week(
        self, day: date | None = None, *, person: str | None = None, area: str | None = None
    ) -> Week:
        """The week that holds a day: what each of its days asks for.

        Raises LookupError for a person or an area that the book does not have.
        """
        from ledger.report.week import week

        return week(self.household, self._day(day), self._scope(person, area))

    def review(self, day: date | None = None, *, weeks: int = 1) -> Review:
        """How some weeks went, of which the last holds the day. Raises ValueError for less
        than a week, or more than ten years."""
        from ledger.report.review import review

        _check_range("weeks", weeks, 1, MOST_WEEKS)
        return review(self.household, self._day(day), weeks)

    def ahead(self, day: date | None = None, *, weeks: int = 4) -> Ahead:
        """The load of the weeks from a day on, and of the year. Raises ValueError for less than a
        week, or more than ten years."""
        from ledger.report.ahead import ahead

        _check_range("weeks", weeks, 1, MOST_WEEKS)
        return ahead(self.household, self._day(day), weeks)

    def areas(self, day: date | None = None) -> Areas:
        """When each area was last cared for, and what it takes."""
        from ledger.report.areas import areas

        return areas(self.household, self._day(day))

    def chore(self, name: str, day: date | None = None) -> About:
        """All that the book knows of one chore. Raises LookupError if it has no such chore."""
        from ledger.report.chore import about

        _check("chore", name, self.household.chores)
        return about(self.household, name, self._day(day))

    def lighten(self, day: date | None = None, *, moves: int | None = None) -> Lighten:
        """The fewest moves of chores that make the year from a day on fit its limits. With `moves`,
        up to so many moves, which lower the heaviest day too. Raises ValueError for less than none,
        or more than 99."""
        from ledger.report.lighten import lighten

        if moves is not None:
            _check_range("moves", moves, 0, MOST_MOVES)
        return lighten(self.household, self._day(day), moves).answer

    def findings(self) -> Sequence[Finding]:
        """What the linter finds in the files that were asked for, in order of place."""
        from ledger.lint.book import LintedBook
        from ledger.lint.engine import lint

        linted = LintedBook(self.workspace.trees, self.household)
        return self.workspace.told(lint(linted, self.workspace.findings))

    def _day(self, day: date | None) -> int:
        return self.household.today if day is None else _ordinal(day)

    def _scope(self, person: str | None, area: str | None) -> Scope:
        from ledger.report.scope import Scope

        if person is not None:
            _check("person", person, self.household.people)
        if area is not None:
            _check("area", area, self.household.areas)
        return Scope(person, area)


def _check_range(what: str, number: int, least: int, most: int) -> None:
    if not least <= number <= most:
        raise ValueError(f"{what} must be {least} to {most}, not {number}")


def _ordinal(day: date) -> int:
    if not isinstance(day, date):
        raise TypeError(f"a day is a datetime.date, not {day!r}")
    if day.year < FIRST_YEAR:
        raise ValueError(f"{day} is no day of a book; those begin with {FIRST_YEAR}-01-01")
    return day.toordinal()


def _check(what: str, name: str, known: Container[str]) -> None:
    if name not in known:
        raise LookupError(f'there is no {what} "{name}" in this book')

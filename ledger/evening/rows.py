"""Rows: what a day asks for, a row for each thing that one can tick."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ledger.household.model import Household
from ledger.keeping.minutes import learned_by
from ledger.render.due_text import listed_tasks
from ledger.render.layout import PLAIN
from ledger.render.tasks_text import Listed
from ledger.report.apart import KeptApart
from ledger.report.due import Due
from ledger.report.slips import OFTEN
from ledger.report.task import Task


class Key(NamedTuple):
    """What a row is known by from one reading of the book to the next."""

    chore: str
    person: str = ""
    """Whose share it is, where each person does their own; else empty."""


class Row(NamedTuple):
    """A chore that is open, or one person's share of it."""

    key: Key
    listed: Listed
    """Its task with that person alone, what the list says of it, and its heading."""
    is_later: bool
    """True if it need not be done today."""
    usual: float | None
    """Minutes that it takes by the record; None where it was timed too rarely."""

    @property
    def task(self) -> Task:
        """Its task."""
        return self.listed.task

    def by(self, who: str | None) -> tuple[str, ...]:
        """Who did it, in a round that somebody goes."""
        if self.key.person:
            return (self.key.person,)
        if self.task.together:
            return self.task.people
        return (who,) if who else ()

    def is_long(self, minutes: int) -> bool:
        """True for minutes that are so many that they look like a slip."""
        usual = self.usual or self.task.minutes
        return bool(usual) and minutes > OFTEN * (usual or 0)


class RoundList(NamedTuple):
    """The rows of a day, and what must be minded among them."""

    due: Due
    rows: tuple[Row, ...]
    people: tuple[str, ...]
    """Everyone in the book."""

    @property
    def apart(self) -> tuple[KeptApart, ...]:
        """Chores that must not be done on one day."""
        return self.due.apart

    @property
    def done(self) -> frozenset[str]:
        """Chores that were done on the day already."""
        return frozenset(task.chore for task in self.due.done if task.state == "done")

    @property
    def must_ask_who(self) -> bool:
        """True if the rows are for different people, or proposed to some, so that who goes the
        round matters."""
        if len(self.people) < 2:
            return False
        tasks = [row.task for row in self.rows]
        return len({task.people for task in tasks}) > 1 or any(task.proposed for task in tasks)

    def of(self, who: str | None) -> RoundList:
        """The rows as somebody sees them: where each person does their own, theirs is first."""
        rows: list[Row] = []
        for row in self.rows:
            same = [at for at, one in enumerate(rows) if one.key.chore == row.key.chore]
            rows.insert(same[0] if same and who and row.key.person == who else len(rows), row)
        return self._replace(rows=tuple(rows))


def round_list(household: Household, due: Due) -> RoundList:
    """The rows of a day: those of the list, then those that may wait."""
    later = {*due.waiting, *(one.task for one in due.let_go), *due.may_wait}
    learned_of = learned_by(household, due.day.toordinal())
    rows = []
    for listed in listed_tasks(due, PLAIN, everything=True):
        if listed.task.is_open:
            learned = learned_of(listed.task.chore)
            usual = learned.minutes if learned is not None else None
            is_later = listed.task in later
            rows += [
                Row(Key(listed.task.chore, person), share, is_later, usual)
                for person, share in _shares(listed)
            ]
    return RoundList(due, tuple(rows), tuple(household.people))


def _shares(listed: Listed) -> Iterator[tuple[str, Listed]]:
    """Each person's share of a task that each does; else the task."""
    if not listed.task.each:
        yield "", listed
        return
    for person in listed.task.people:
        yield person, listed._replace(task=listed.task._replace(people=(person,)))

"""Scope: the person and the area that an answer is limited to."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from typing import Annotated, NamedTuple

from ledger.calendar.presence import absence_title, there
from ledger.household.model import Household
from ledger.planning.load import limit_on, person_limit
from ledger.report.task import Task
from ledger.text.fields import OneOf


class Scope(NamedTuple):
    """One person, one area, or both; neither means the whole household."""

    person: str | None = None
    area: str | None = None


WHOLE = Scope()


class Absent(NamedTuple):
    """Who is away on a day, or rests."""

    keyword: Annotated[str, OneOf("away", "rest")]
    """Which of the two."""
    person: str | None
    """Name of the person; None for the whole household."""
    title: str
    """Why; empty where the book gives no reason."""


def absent_on(household: Household, day: int, person: str | None) -> tuple[Absent, ...]:
    """Who is away on a day and who rests, those with one reason together; only `person`, if
    given."""
    found: list[Absent] = []
    for keyword in ("away", "rest"):
        everyone = absence_title(household, keyword, day)
        people = [None] if everyone is not None else [person] if person else household.people
        titles = ((one, absence_title(household, keyword, day, one)) for one in people)
        some = [Absent(keyword, one, title) for one, title in titles if title is not None]
        found += sorted(some, key=lambda one: one.title)
    return tuple(found)


def within(tasks: Iterable[Task], scope: Scope) -> list[Task]:
    """The tasks in a scope; where each person does their own, only the person's share.

    A task is a person's where it names them, or nobody. A settled task is a person's where the
    record says that they did it, or names nobody and the task names them or nobody.
    """
    if scope == WHOLE:
        return list(tasks)
    return [
        _share(task, scope.person)
        for task in tasks
        if (scope.area is None or scope.area in task.areas)
        and (scope.person is None or _is_of(task, scope.person))
    ]


def on_day(household: Household, day: int, tasks: Iterable[Task], scope: Scope) -> list[Task]:
    """The tasks in a scope on a day.

    An open task is asked of nobody who is not there: who is away is asked nothing, and who rests
    only what is vital. One that has its day names only those of its people who are there.
    """

    def is_there(person: str, task: Task) -> bool:
        return there(household, person, task.vital).holds(day)

    when = date.fromordinal(day)
    tasks = (_of_those_there(task, when, is_there) for task in tasks)
    return [
        task
        for task in within(tasks, scope)
        if scope.person is None or not task.is_open or is_there(scope.person, task)
    ]


def _of_those_there(task: Task, when: date, is_there: Callable[[str, Task], bool]) -> Task:
    """A task that one of some people does on a day, with those of them who are there, if anyone
    is."""
    is_sure = task.next_asked == task.last_asked or task.planned == when
    if not task.is_open or task.each or task.together or not is_sure:
        return task
    people = tuple(person for person in task.people if is_there(person, task))
    return task._replace(people=people) if people else task


def _is_of(task: Task, person: str) -> bool:
    people = task.done_by or task.people
    return not people or person in people


def _share(task: Task, person: str | None) -> Task:
    if person is None or not task.each:
        return task
    return task._replace(people=(person,), done_by=(person,) if task.done_by else ())


def limit_in(household: Household, day: int, scope: Scope) -> int | None:
    """Minutes that fit in a day: the household's limit, or the person's own, 0 while they are away.
    None for no limit, and for an area, since limits are not meant for areas."""
    if scope.area is not None:
        return None
    if scope.person is None:
        return limit_on(household, day)
    return person_limit(household, scope.person, day)


def shared_minutes(tasks: Iterable[Task], scope: Scope) -> int:
    """The minutes of tasks in a person's list that others may do as well, and that are not proposed
    to the person; 0 without a person."""
    person = scope.person
    if person is None:
        return 0
    return sum(task.total for task in tasks if task.is_shared and task.proposed != person)

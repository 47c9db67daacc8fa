"""Kept plans: while each day of a week is kept as planned, every later day asks for what the plan
of its first day gave it, of the same people; and `due`, `week` and `ahead` tell of one plan."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

import pytest
from books import house, iso
from random_planned_homes import random_planned_home

from ledger.calendar.week import week_first
from ledger.household.model import Household
from ledger.report.ahead import ahead
from ledger.report.due import Due, due
from ledger.report.task import Task
from ledger.report.week import Week, week

WEEK = 7
Told = list[tuple[str, str, str, tuple[str, ...], str | None]]
"""Tasks by chore, first and last day, people, and whom the plan proposes."""


def book_of(seed: int) -> tuple[tuple[str, ...], int]:
    """The lines of a random home and the first day of a plan of it: for even seeds any day, for odd
    ones the first of a week.

    What comes round some days after it was done does so after the last day that a plan looks at:
    when it is done decides when the next one is, and so what the other days hold.
    """
    home = random_planned_home(seed)
    lines = tuple(re.sub(r"^\d+ days after done", "50 days after done", one) for one in home.lines)
    monday = week_first(home.first, house(*lines).week_start)
    return lines, home.first if seed % 2 == 0 or monday == home.first else monday + WEEK


def told(tasks: Iterable[Task]) -> Told:
    """What tells tasks from each other, in order."""
    return sorted(
        (one.chore, str(one.first), str(one.last), one.people, one.proposed) for one in tasks
    )


def of_day(answer: Due) -> tuple[Task, ...]:
    """What is to be done on a day."""
    return (*answer.late, *answer.today)


def to_do(answer: Week) -> dict[int, list[Task]]:
    """What is still to be done on each day of a week, by its ordinal."""
    return {
        one.day.toordinal(): [task for task in one.tasks if task.is_open]
        for one in answer.days
        if one.day >= answer.on
    }


def did(tasks: Iterable[Task], day: int, *, named: bool) -> Iterator[str]:
    """The lines of the record by which tasks are done on a day; where people are `named`, by those
    whom the plan proposes."""
    for task in tasks:
        if task.each:
            yield from (f"{iso(day)} did {task.chore} by {name}" for name in task.people)
        elif named and task.proposed is not None:
            yield f"{iso(day)} did {task.chore} by {task.proposed}"
        else:
            yield f"{iso(day)} did {task.chore}"


SEEDS = range(24)


@pytest.mark.parametrize("named", [False, True])
@pytest.mark.parametrize("seed", SEEDS)
def test_each_day_asks_for_what_the_first_day_planned_while_all_is_kept(
    seed: int, named: bool
) -> None:
    lines, first = book_of(seed)
    planned = to_do(week(house(*lines).on(first), first))
    record = list(lines)
    for day in planned:
        household = house(*record).on(day)
        answer = due(household, day)
        assert told(of_day(answer)) == told(planned[day])
        rest = to_do(week(household, day))
        assert {one: told(tasks) for one, tasks in rest.items()} == {
            one: told(tasks) for one, tasks in planned.items() if one >= day
        }
        record += did(of_day(answer), day, named=named)


@pytest.mark.parametrize("seed", SEEDS)
def test_list_of_a_day_to_come_is_that_day_of_the_week(seed: int) -> None:
    lines, first = book_of(seed)
    household = house(*lines).on(first)
    planned = to_do(week(household, first))
    assert {day: told(of_day(due(household, day))) for day in planned} == {
        day: told(tasks) for day, tasks in planned.items()
    }


@pytest.mark.parametrize("seed", SEEDS)
def test_weeks_ahead_are_the_weeks_as_they_come(seed: int) -> None:
    """The minutes that `ahead` puts on the days are those that `week` plans, week after week."""
    lines, first = book_of(seed)
    household = house(*lines).on(first)
    of_weeks: list[tuple[int, int]] = []
    day = first
    for _ in range(3):
        answer = week(household, day)
        of_weeks += [(one, sum(task.total for task in some)) for one, some in to_do(answer).items()]
        day = answer.days[-1].day.toordinal() + 1
    found = ahead(household, first, 3).days
    assert [(one.day.toordinal(), one.minutes) for one in found[: len(of_weeks)]] == of_weeks


def shown(household: Household, first: int) -> Iterator[str]:
    """What a plan has that makes it hard to keep."""
    answer, laid = due(household, first), week(household, first)
    yield from (name for name in ("late", "waiting", "let_go", "may_wait") if getattr(answer, name))
    yield from ("over" for one in laid.days if one.over)
    for task in (one for tasks in to_do(laid).values() for one in tasks):
        yield from (
            name
            for name in ("each", "together", "vital", "expires", "after", "proposed")
            if getattr(task, name)
        )
        yield household.chores[task.chore].routines[0].assignment.form


def test_homes_have_all_that_makes_a_plan_hard_to_keep() -> None:
    found = set[str]()
    for seed in SEEDS:
        lines, first = book_of(seed)
        found |= {*shown(house(*lines).on(first), first)}
    assert found == {
        "late", "waiting", "let_go", "may_wait", "over", "each", "together", "vital", "expires",
        "after", "proposed", "any", "then",
    }  # fmt: skip

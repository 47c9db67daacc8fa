"""One truth: lint, lighten, week and ahead count the same windows, and what lint proves is never
more than the plan has."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from hypothesis import given, settings
from hypothesis import strategies as st
from plans import household_of
from random_planned_homes import random_planned_home

from ledger.calendar.week import year_on
from ledger.household.model import Household
from ledger.lint import overload
from ledger.lint.book import LintedBook
from ledger.lint.overload import Overloads
from ledger.planning.load import limit_on, person_limit
from ledger.planning.plan import Planned, rolled


def excess(
    household: Household, plan: Sequence[Planned], person: str | None, days: range
) -> dict[int, int]:
    """The minutes beyond the limit of each day that a plan has for the household or a person."""
    loads = Counter[int]()
    for (entry, _), day in ((one, one.day) for one in plan):
        loads[day] += entry.minutes if person is None else dict(entry.own).get(person, 0)
    limits = {
        day: limit_on(household, day) if person is None else person_limit(household, person, day)
        for day in days
    }
    return {
        day: 0 if limit is None else max(0, loads[day] - limit) for day, limit in limits.items()
    }


def found_by_lint(household: Household) -> dict[str | None, Overloads]:
    book = LintedBook((), household)
    return {None: overload.of_household(book), **overload.of_people(book)}


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_what_lint_proves_is_never_more_than_the_plan_has(seed: int) -> None:
    home = random_planned_home(seed)
    household = household_of(home)
    plan = list(rolled(household, home.first, year_on(home.first)))
    for person, found in found_by_lint(household).items():
        over = excess(household, plan, person, range(home.first, year_on(home.first) + 1))
        for span in found.spans:
            planned = sum(over[day] for day in range(span.first, span.last + 1))
            assert span.minutes - span.limit <= planned, (seed, person, span)

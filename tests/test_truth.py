"""One truth: lint, lighten, week and ahead count the same windows, and what lint proves is never
more than the plan has."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import partial
from re import match

import pytest
from books import day, house, iso
from hypothesis import given, settings
from hypothesis import strategies as st
from random_planned_homes import random_planned_home

from ledger.calendar.week import week_first, year_on
from ledger.household.model import Household
from ledger.lint import overload
from ledger.lint.book import LintedBook
from ledger.lint.overload import Overloads
from ledger.planning.choices import _Asking
from ledger.planning.load import limit_on, limited_people, person_limit
from ledger.planning.plan import Planned, rolled
from ledger.report.week import week

WEEKS = 3
Counted = Mapping[tuple[str, int], int]
"""Minutes of each chore in each week, counted from 0."""


def excess(
    household: Household, plan: Sequence[Planned], person: str | None, days: range
) -> dict[int, int]:
    """The minutes beyond the limit of each day that a plan has for the household or a person."""
    loads = Counter[int]()
    for entry, when in plan:
        loads[when] += entry.minutes if person is None else dict(entry.own).get(person, 0)
    limit_of = (
        partial(limit_on, household) if person is None else partial(person_limit, household, person)
    )
    limits = {when: limit_of(when) for when in days}
    return {
        when: 0 if limit is None else max(0, loads[when] - limit) for when, limit in limits.items()
    }


def found_by_lint(household: Household) -> dict[str | None, Overloads]:
    book = LintedBook((), household)
    found: dict[str | None, Overloads] = {None: overload.of_household(book)}
    found.update(overload.of_people(book))
    return found


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_what_lint_proves_is_never_more_than_the_plan_has(seed: int) -> None:
    home = random_planned_home(seed)
    household = house(*home.lines).on(home.first)
    plan = list(rolled(household, home.first, year_on(home.first)))
    for person, found in found_by_lint(household).items():
        over = excess(household, plan, person, range(home.first, year_on(home.first) + 1))
        for span in found.spans:
            planned = sum(over[day] for day in range(span.first, span.last + 1))
            assert span.minutes - span.limit <= planned, (seed, person, span)


@pytest.mark.parametrize(
    ("line", "spans"),
    [
        ("2026-06-03 worked x 15 min", [(2, 6, 85)]),
        ("2026-06-03 did x", [(2, 2, 100)]),
        ("2026-06-03 skipped x", []),
        ("2026-06-02 did x", []),
        ("2026-06-02 skipped x", []),
        ("2026-06-02 moved x to 2026-06-05", [(4, 4, 100)]),
    ],
)
def test_lint_counts_by_the_record(line: str, spans: list[tuple[int, int, int]]) -> None:
    on = day("2026-06-03")
    household = house(
        "since 2026-06-01", "limit weekday 15 min", "limit weekend 15 min",
        "once from 2026-06-01 to 2026-06-07", "    x 100 min", line,
    ).on(on)  # fmt: skip
    found = found_by_lint(household)[None].spans
    monday = on - 2
    assert [(one.first - monday, one.last - monday, one.minutes) for one in found] == spans


def test_what_is_late_counts_only_if_it_is_vital_and_until_it_comes_round_again() -> None:
    for flag, spans in (("", []), ("vital", [("2026-06-03", "2026-06-30")])):
        household = house(
            "since 2026-05-01", "limit weekday 1 min", "limit weekend 1 min",
            "every month on 1", f"    x 40 min {flag}",
        ).on(day("2026-06-03"))  # fmt: skip
        found = found_by_lint(household)[None].spans
        assert [(iso(one.first), iso(one.last)) for one in found if one.first != one.last] == spans


def test_what_was_done_today_stands_on_today_and_what_was_skipped_on_none() -> None:
    for verb, minutes in (("did", [60]), ("skipped", [])):
        household = house(
            "since 2026-06-01", "limit weekday 40 min", "every monday", "    x 40 min",
            "    y 20 min", "2026-06-08 did x", f"2026-06-08 {verb} y",
        ).on(day("2026-06-08"))  # fmt: skip
        found = found_by_lint(household)[None].spans
        assert [one.minutes for one in found if iso(one.first) == "2026-06-08"] == minutes


def in_weeks(monday: int, parts: Iterable[tuple[str, int, int]]) -> Counted:
    """Of minutes with chore and day, those of each week."""
    found = Counter[tuple[str, int]]()
    for chore, when, minutes in parts:
        number = (when - monday) // 7
        if number < WEEKS:
            found[chore, number] += minutes
    return {key: minutes for key, minutes in found.items() if minutes}


def as_lighten_has_it(household: Household, monday: int) -> Counted:
    days = range(monday, year_on(monday) + 1)
    asking = _Asking(household, days, limited_people(household))
    return in_weeks(
        monday,
        (
            (name, first + monday, ask.minutes)
            for name, chore in household.chores.items()
            for asks in asking.of(chore)
            for ask in asks
            if ask.layer == 0
            for first in ask.firsts
        ),
    )


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_all_four_count_the_same_minutes_of_each_chore_in_whole_weeks(seed: int) -> None:
    home = random_planned_home(seed)
    # Nothing is late on the first day of a book, and nothing is recorded yet.
    monday = week_first(home.first, 0)
    lines = [line for line in home.lines if not match(r"since |\d{4}-", line)]
    household = house(f"since {iso(monday)}", *lines).on(monday)
    demands = found_by_lint(household)[None].demands
    # The week knows only the next window after one that is not done yet.
    left_out = {chore.name for chore in household.chores.values() if chore.is_after_done}
    left_out |= {
        one.label for one in demands if (one.last - monday) // 7 > (one.first - monday) // 7
    }
    by_lint = in_weeks(monday, ((one.label, one.first, one.minutes) for one in demands))
    plan = rolled(household, monday, year_on(monday))
    by_ahead = in_weeks(
        monday, ((entry.occasion.chore, when, entry.minutes) for entry, when in plan)
    )
    by_week = in_weeks(
        monday,
        (
            (task.chore, when.day.toordinal(), task.total)
            for number in range(WEEKS)
            for when in week(household, monday + 7 * number).days
            for task in when.tasks
        ),
    )
    all_four = (by_lint, as_lighten_has_it(household, monday), by_ahead, by_week)
    within = [
        {key: minutes for key, minutes in one.items() if key[0] not in left_out} for one in all_four
    ]
    assert within == [within[0]] * 4, seed

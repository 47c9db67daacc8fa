"""Evenings of a household that keeps its plan, and of one that leaves all for two weeks."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from books import day, house, iso
from random_planned_homes import random_planned_home

from ledger.household.model import Household
from ledger.planning.load import limit_on
from ledger.planning.plan import Planned, key_of, least_within, plan_of, rolled
from ledger.report.due import due

MONDAY = day("2026-06-01")
WEEKS = 8
LINES = (
    f"since {iso(MONDAY)}", "person ana", "person ben", "limit weekday 45 min",
    "limit weekend 90 min", "limit ben 30 min",
    "every day", "    dishes 10 min", "    bins 5 min by ana then ben",
    "every week", "    vacuum 30 min", "    sheets 20 min by each", "    sink 15 min uses bleach",
    "    kettle 10 min uses vinegar",
    "every saturday", "    mop 20 min after vacuum",
    f"every 2 weeks from {iso(MONDAY)}", "    fridge 40 min by ana or ben", "    plants 15 min",
    "every month", "    oven 60 min expires", "    windows 45 min by ana then ben",
    "3 times every week", "    laundry 15 min",
)  # fmt: skip


def did(one: Planned, on: int) -> str:
    """The line of the record by which a window is done."""
    person = one.entry.occasion.person
    return f"{iso(on)} did {one.entry.occasion.chore}" + (f" by {person}" if person else "")


def for_day(household: Household, on: int) -> list[Planned]:
    """What the plan of a day has on it, not yet settled."""
    return [
        one for one in plan_of(household, on).planned if one.day == on and not one.entry.settled
    ]


def evenings(lines: tuple[str, ...], first: int, last: int) -> Iterator[tuple[int, Household]]:
    """Each day from one to another, before anything of it is done; all before was kept."""
    record: list[str] = []
    for on in range(first, last + 1):
        household = house(*lines, *record).on(on)
        yield on, household
        record += [did(one, on) for one in for_day(household, on)]


def test_a_plan_that_is_kept_has_nothing_late_and_stays_what_the_monday_said() -> None:
    said: dict[int, set[object]] = {}
    for on, household in evenings(LINES, MONDAY, MONDAY + 7 * WEEKS - 1):
        if (on - MONDAY) % 7 == 0:
            monday = plan_of(household, on).planned
            said = {
                one: {key_of(x.entry.occasion) for x in monday if x.day == one}
                for one in range(on, on + 7)
            }
        today = for_day(household, on)
        assert not any(one.entry.occasion.is_late for one in today)
        assert {key_of(one.entry.occasion) for one in today} == said[on]
        minutes, limit = sum(one.entry.minutes for one in today), limit_on(household, on)
        assert limit is not None
        assert minutes <= limit, iso(on)


@pytest.mark.parametrize("seed", range(4))
def test_random_homes_keep_what_the_monday_said(seed: int) -> None:
    random_home = random_planned_home(seed)
    monday = random_home.first + (7 - (random_home.first - 1) % 7) % 7
    said: dict[int, set[object]] = {}
    for on, household in evenings(random_home.lines, monday, monday + 13):
        if (on - monday) % 7 == 0:
            planned = plan_of(household, on).planned
            said = {
                one: {key_of(x.entry.occasion) for x in planned if x.day == one}
                for one in range(on, on + 7)
            }
        assert {key_of(one.entry.occasion) for one in for_day(household, on)} == said[on], iso(on)


def test_after_two_weeks_left_all_is_caught_up_or_let_go_within_the_limits() -> None:
    begun = MONDAY + 14
    plan = plan_of(house(*LINES).on(begun), begun)
    assert any(one.entry.occasion.is_late for one in plan.planned)
    for on, household in evenings(LINES, begun, begun + 20):
        today = for_day(household, on)
        limit = limit_on(household, on)
        assert limit is not None
        must = sum(
            one.entry.minutes
            for one in today
            if one.entry.occasion.first == one.entry.occasion.last == on
        )
        assert sum(one.entry.minutes for one in today) <= max(limit, must), iso(on)
        plan = plan_of(household, on)
        shown = due(household, on)
        assert shown.minutes <= max(limit, must), iso(on)
    assert plan.let_go == ()
    assert not any(one.entry.occasion.is_late for one in plan.planned)


def test_what_does_not_fit_and_comes_round_again_is_let_go_for_good() -> None:
    tight = tuple(line.replace("weekday 45", "weekday 25") for line in LINES)
    begun = MONDAY + 14
    plan = plan_of(house(*tight).on(begun), begun)
    assert plan.let_go
    for entry in plan.let_go:
        assert entry.occasion.is_late
        assert begun <= entry.closes < begun + 14


@pytest.mark.parametrize("seed", range(6))
def test_weeks_ahead_begin_with_the_plan_and_have_each_window_once(seed: int) -> None:
    random_home = random_planned_home(seed)
    household, on = house(*random_home.lines).on(random_home.first), random_home.first
    ahead = list(rolled(household, on, on + 40))
    keys = [key_of(one.entry.occasion) for one in ahead]
    assert len(keys) == len({*keys})
    assert all(on <= one.day <= on + 40 for one in ahead)
    week_end = on + 6 - (on - 1) % 7
    assert [one for one in ahead if one.day <= week_end] == [
        one for one in plan_of(household, on).planned if one.day <= week_end
    ]


@pytest.mark.parametrize("seed", range(6))
def test_bounds_of_a_week_are_not_above_its_plan(seed: int) -> None:
    random_home = random_planned_home(seed)
    household, on = house(*random_home.lines).on(random_home.first), random_home.first
    least, minutes = least_within(household, on, on + 6), dict.fromkeys(range(on, on + 7), 0)
    for one in plan_of(household, on).planned:
        if one.day in minutes:
            minutes[one.day] += one.entry.minutes
    limits = {one: limit_on(household, one) for one in minutes}
    over = sum(max(0, minutes[one] - limit) for one, limit in limits.items() if limit is not None)
    assert least.over <= over
    assert least.heaviest <= max(minutes.values())


def test_what_was_skipped_weighs_on_no_day() -> None:
    lines = ("since 2026-06-01", "every day", "    x 20 min", "every week", "    y 10 min")
    done, skipped = (
        plan_of(house(*lines, f"{iso(MONDAY)} {verb} x").on(MONDAY), MONDAY)
        for verb in ("did", "skipped")
    )
    key = ("x", None, MONDAY)
    assert done.days[key] == MONDAY
    assert key not in skipped.days
    assert skipped.days[("x", None, MONDAY + 1)] == MONDAY + 1

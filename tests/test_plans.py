"""What a plan must keep to is found in any plan that does not; plans of random homes keep to it and
are as near to the best as is claimed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

import pytest
from books import day, house
from held_plans import held
from integer_program import best_placement
from planned_constraints import Plan, faults_of, faults_of_plan, figures_of, to_plan
from plans import household_of
from random_planned_homes import random_planned_home

from ledger.calendar.week import week_first
from ledger.household.model import Household
from ledger.planning.place import place
from ledger.planning.plan import IN_SIGHT, plan_of
from ledger.planning.work import Score

MONDAY = "2026-06-01"
LOW, HIGH = day(MONDAY), day(MONDAY) + 13


def home(*lines: str) -> Household:
    return house(f"since {MONDAY}", "person ana", "person ben", *lines).on(LOW)


def by_days(
    household: Household, days: Mapping[str, int], low: int = LOW, high: int = HIGH
) -> Plan:
    """A plan in which a chore's first window has the day given, and each other the first of its."""
    wanted, first = to_plan(household, low, high), dict(days)
    return [
        (one, first.pop(one.chore, piece.days[0]))
        for one, piece in zip(wanted.windows, wanted.problem.pieces, strict=True)
    ]


def faults(household: Household, **days: int) -> list[str]:
    """What is wrong if chores have some days, counted from Monday, the 1st."""
    plan = by_days(household, {name: LOW + offset for name, offset in days.items()})
    return faults_of(household, plan, LOW, HIGH)


# ------------------------------------------------------------------------------ each by hand


def test_the_mop_before_the_vacuum_is_a_fault_while_one_of_them_may_have_another_day() -> None:
    weekly = ["every week", "    vacuum 20 min", "every saturday", "    mop 10 min after vacuum"]
    assert faults(home(*weekly), vacuum=5) == []
    assert faults(home(*weekly), vacuum=6) == [
        "mop, open from 2026-06-06, on 2026-06-06: before what it comes after "
        "(vacuum, open from 2026-06-01, on 2026-06-07), but vacuum may be on 2026-06-01"
    ]
    fixed = ["every sunday", "    vacuum 20 min", "every saturday", "    mop 10 min after vacuum"]
    assert faults(home(*fixed)) == []
    # The second vacuuming of the two weeks is not open yet when the first mop is done.
    assert faults(home(*weekly), vacuum=0, mop=5) == []


def test_two_things_that_must_not_meet_on_one_day_are_a_fault_while_one_may_have_another() -> None:
    lines = [
        "area bath", "area hall", "every week", "    tiles in bath uses bleach",
        "every wednesday", "    kettle uses vinegar", "    taps in hall uses vinegar",
    ]  # fmt: skip
    assert faults(home(*lines), tiles=1) == []
    assert faults(home(*lines), tiles=2) == [
        "kettle, open from 2026-06-03, on 2026-06-03: on one day with what it must not meet "
        "(tiles, open from 2026-06-01, on 2026-06-03), but tiles may be on 2026-06-01"
    ]
    assert (
        faults(home(*[line.replace("kettle", "kettle in hall") for line in lines]), tiles=2) == []
    )


def test_a_turn_on_a_day_on_which_its_person_is_away_is_a_fault_while_there_is_another() -> None:
    turns = ["every week", "    bins by ana then ben"]
    away = home("away 2026-06-03 to 2026-06-07 by ana", *turns)
    assert faults(away, bins=1) == []
    assert faults(away, bins=2) == [
        "bins, open from 2026-06-01, on 2026-06-03: whose turn it is, ana, is not there"
    ]


def test_a_chore_on_a_day_on_which_it_is_not_asked_is_a_fault() -> None:
    one = home("rest 2026-06-02 by ana", "every week except friday", "    oven by ana")
    assert faults(one, oven=3) == []
    not_asked = "it is not asked on that day"
    assert faults(one, oven=1) == [f"oven, open from 2026-06-01, on 2026-06-02: {not_asked}"]
    assert faults(one, oven=4) == [f"oven, open from 2026-06-01, on 2026-06-05: {not_asked}"]
    assert "its last day is 2026-06-07" in faults(one, oven=7)[0]
    assert "outside the plan" in faults(one, oven=-1)[0]


def test_what_is_late_has_the_days_until_it_comes_round_again() -> None:
    late = home("every 2 weeks on monday from 2026-06-01", "    oven 30 min")
    late = late.on(LOW + 2)
    plan = by_days(late, {}, LOW + 2, LOW + 20)
    assert [one.is_late for one, _ in plan] == [True, False]
    assert faults_of(late, plan, LOW + 2, LOW + 20) == []
    (one, _), *rest = plan
    again = "oven, open from 2026-06-01, on 2026-06-15: it is missed by then, or there is nobody"
    (fault,) = faults_of(late, [(one, LOW + 14), *rest], LOW + 2, LOW + 20)
    assert fault.startswith(again)
    assert figures_of(late, [(one, LOW + 4), *rest], LOW + 2, LOW + 20) == Score(
        0, 0, 0, 0, 30, (2,)
    )


def test_what_expires_has_no_day_after_its_last_but_under_after_done() -> None:
    away = home(
        "away 2026-06-04 to 2026-06-07 by ana", "every 2 weeks within 7 days from 2026-06-01",
        "    lamp by ana expires", "3 days after done", "    oven expires",
    )  # fmt: skip
    plan = by_days(away.on(LOW + 3), {}, LOW + 3, HIGH + 7)
    assert [(one.chore, one.opened - LOW, on - LOW) for one, on in plan] == [
        ("lamp", 14, 14), ("oven", 0, 3),
    ]  # fmt: skip


def test_minutes_are_those_of_all_who_do_it_and_a_person_has_only_what_is_surely_theirs() -> None:
    one = home(
        "every month", "    one 5 min by ana", "    both 10 min by ana and ben",
        "    turn 20 min by ben then ana", "    any 30 min by ana or ben",
        "    each 40 min by each of ana", "    who 50 min",
    )  # fmt: skip
    pieces = to_plan(one, LOW, LOW + 29).problem.pieces
    assert {piece.label: (piece.minutes, piece.own) for piece in pieces} == {
        "one": (5, (("ana", 5),)),
        "both": (20, (("ana", 10), ("ben", 10))),
        "turn": (20, (("ben", 20),)),
        "any": (30, ()),
        "each": (40, (("ana", 40),)),
        "who": (50, ()),
    }


def test_windows_left_out_and_windows_planned_twice_are_faults() -> None:
    one = home("every week", "    oven by each", "    lamp spare")
    plan = list(by_days(one, {}))
    assert len(plan) == 4
    assert faults_of(one, plan[1:], LOW, HIGH) == ["oven of ana, open from 2026-06-01: not planned"]
    assert faults_of(one, [*plan, plan[3]], LOW, HIGH) == [
        "oven of ben, open from 2026-06-08: planned 2 times"
    ]


# ------------------------------------------------------------------------------ random homes


def shown(household: Household, low: int, high: int) -> Iterator[str]:
    """What a home has of all that makes planning hard."""
    windows, problem = to_plan(household, low, high)
    lines = [line for chore in household.chores.values() for line in chore.routines]
    over = best_placement(problem)[0].over
    yield "more than fits" if over else "all fits"
    yield from (line.assignment.form for line in lines)
    yield from ("after done" for line in lines if line.section.is_after_done)
    yield from ("absent" for one in household.absences if one.people)
    yield from ("late" for one in windows if one.is_late)
    yield from ("done by all together" for piece in problem.pieces if len(piece.own) > 1)
    yield from (name for name in ("apart", "after", "personal") if getattr(problem, name))


def test_random_homes_to_plan_have_all_that_makes_planning_hard() -> None:
    found = set[str]()
    for seed in range(12):
        random_home = random_planned_home(seed)
        household = household_of(random_home)
        assert 5 <= len(household.chores) <= 12
        found |= {*shown(household, random_home.first, random_home.last)}
    assert found == {
        "more than fits", "all fits", "any", "then", "each", "together", "after done", "absent",
        "late", "done by all together", "apart", "after", "personal",
    }  # fmt: skip


@pytest.mark.parametrize("seed", range(8))
def test_the_best_days_have_no_fault_and_any_window_put_elsewhere_has(seed: int) -> None:
    random_home = random_planned_home(seed)
    household, low, high = household_of(random_home), random_home.first, random_home.last
    wanted = to_plan(household, low, high)
    _, days = best_placement(wanted.problem)
    plan = list(zip(wanted.windows, days, strict=True))
    assert faults_of(household, plan, low, high) == []
    random = Random(seed)
    for number in random.sample(range(len(plan)), min(4, len(plan))):
        others = {*range(low, high + 1)} - {*wanted.problem.pieces[number].days}
        moved = [*plan]
        moved[number] = plan[number][0], random.choice(sorted(others))
        assert len(faults_of(household, moved, low, high)) == 1


@pytest.mark.parametrize("seed", range(100, 112))
def test_the_plan_of_a_random_home_keeps_to_all_and_is_as_near_the_best_as_it_says(
    seed: int,
) -> None:
    random_home = random_planned_home(seed)
    household, low, high = household_of(random_home), random_home.first, random_home.last
    wanted = to_plan(household, low, high)
    placement = place(wanted.problem)
    assert held(wanted.problem, placement).faults == ()
    assert faults_of(household, zip(wanted.windows, placement.days, strict=True), low, high) == []


@pytest.mark.parametrize("seed", range(40))
def test_the_plan_of_a_monday_keeps_to_all_and_lets_go_of_little(seed: int) -> None:
    random_home = random_planned_home(seed)
    monday = week_first(random_home.first + 6, 0)
    household = house(*random_home.lines).on(monday)
    assert faults_of_plan(household, monday, monday + IN_SIGHT - 1) == []


def test_what_follows_what_was_done_is_owed_until_it_is_done() -> None:
    """Such a line does not come round again by itself, and an `expires` says nothing of it."""
    lines = ["limit weekday 10 min", "3 days after done", "    oven 30 min by ana expires"]
    late = home(*lines).on(LOW + 9)
    plan = plan_of(late, LOW + 9)
    assert [one.day for one in plan.planned if not one.entry.occasion.is_expected] == [LOW + 9]
    assert plan.let_go == ()

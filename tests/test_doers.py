"""Doers: whom a plan proposes for what one of several people may do."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import pytest
from books import day, house
from hypothesis import given
from hypothesis import strategies as st
from plans import household_of
from random_planned_homes import random_planned_home

from ledger.calendar.presence import there
from ledger.household.model import Household
from ledger.household.things import cautions
from ledger.planning.doers import Doing, proposed
from ledger.planning.load import person_limit
from ledger.planning.plan import key_of, plan_of, proposals

MONDAY = "2026-06-01"
LOW = day(MONDAY)
WEEK = range(LOW, LOW + 7)


def doings(household: Household) -> list[Doing]:
    """The windows of the week, as the plan of its first day has them."""
    planned = plan_of(household, LOW).planned
    return [Doing(one.entry.occasion, one.day) for one in planned if one.day in WEEK]


def home(*lines: str, people: Sequence[str] = ("ana", "ben")) -> Household:
    return house(f"since {MONDAY}", *(f"person {name}" for name in people), *lines).on(LOW)


def names(household: Household) -> dict[str, str]:
    """The proposals of a week, by chore."""
    some = doings(household)
    found = proposed(household, some, WEEK)
    return {some[number].occasion.chore: name for number, name in found.items()}


@given(
    st.lists(st.integers(5, 90), min_size=1, max_size=12),
    st.lists(st.integers(5, 90), max_size=4),
    st.lists(st.integers(10, 120), min_size=2, max_size=3),
)
def test_no_two_people_differ_by_more_than_the_longest_piece_over_what_they_can(
    minutes: list[int], sure: list[int], limits: list[int]
) -> None:
    """Work is given to whom it leaves with the smallest part, so that the one with the most had,
    before the last piece that they got, no more than anybody else would have with it."""
    people = ("ana", "ben", "cleo")[: len(limits)]
    # So large on each day that no day is full: only the part of the week is compared.
    lines = [f"limit {name} {n * 60} min" for name, n in zip(people, limits, strict=True)]
    lines += ["every week"] + [f"    free-{n} {m} min" for n, m in enumerate(minutes)]
    household = home(*lines, people=people)
    some = doings(household)
    can = {name: limit * 60 * 7 for name, limit in zip(people, limits, strict=True)}
    carried = Counter(dict.fromkeys(people, 0))
    for number, name in proposed(household, some, WEEK).items():
        carried[name] += some[number].occasion.minutes
    assert carried.total() == sum(minutes)
    longest = max(minutes)
    for name in people:
        for other in people:
            part = (carried[name] - longest) / can[name]
            assert part <= (carried[other] + longest) / can[other]
            if can[name] == can[other]:
                assert carried[name] - carried[other] <= longest


def test_what_is_surely_somebodys_counts_first_and_what_is_done_too() -> None:
    lines = ["every week", "    oven 40 min by ana", "    lamp 30 min", "    dust 10 min"]
    assert names(home(*lines)) == {"lamp": "ben", "dust": "ben"}
    household = home(*lines)
    some = [one._replace(done_by=("ben",)) if one.occasion.chore == "lamp" else one
            for one in doings(household)]  # fmt: skip
    found = proposed(household, some, WEEK)
    assert {some[number].occasion.chore: name for number, name in found.items()} == {"dust": "ben"}


def test_a_childs_limit_is_not_exceeded_while_another_has_room() -> None:
    lines = ["limit ana 30 min", "limit ben 20 min", "every monday"]
    some = [f"    free-{n} 10 min by ana or ben" for n in range(5)]
    given = Counter(names(home(*lines, *some)).values())
    assert given == {"ana": 3, "ben": 2}
    # Ben can do most of a week, and little of a Monday.
    lines = ["limit ana 30 min", "limit ben 100 min", "limit ben monday 10 min", "every monday"]
    given = Counter(names(home(*lines, *some[:4])).values())
    assert given == {"ana": 3, "ben": 1}


def test_nobody_is_proposed_for_what_can_hurt_without_by_or_where_nobody_is_there() -> None:
    hurts = [
        "every monday",
        "    oven 10 min uses bleach",
        "    sink 10 min by ana or ben uses lye",
    ]
    assert names(home(*hurts)).keys() == {"sink"}
    assert names(home(f"away {MONDAY} by ana", "every monday", "    oven 10 min")) == {
        "oven": "ben"
    }
    assert names(house(f"since {MONDAY}", "every monday", "    oven 10 min").on(LOW)) == {}


def test_a_turn_and_a_single_person_are_not_proposed() -> None:
    lines = ["every monday", "    oven by ana", "    lamp by ana then ben", "    dust by each"]
    assert names(home(*lines, "    bins by ana and ben")) == {}


@pytest.mark.parametrize("seed", range(40))
def test_proposals_of_random_homes_are_people_who_may_who_are_there_and_have_room(
    seed: int,
) -> None:
    random_home = random_planned_home(seed)
    household = household_of(random_home)
    on = random_home.first
    found = proposals(household, on)
    loads = Counter[tuple[str, int]]()
    planned = {key_of(one.entry.occasion): one for one in plan_of(household, on).planned}
    for key, name in found.items():
        one, its_day = planned[key].entry.occasion, planned[key].day
        assert name in (one.routine.assignment.people or household.people)
        assert there(household, name, one.routine.vital).holds(its_day)
        assert one.person is None
        assert one.routine.assignment.people or not cautions(one.routine.things)
        limit = person_limit(household, name, its_day)
        loads[name, its_day] += one.minutes
        if limit is not None and one.minutes > limit:
            others = one.routine.assignment.people or tuple(household.people)
            free = [
                other
                for other in others
                if there(household, other, one.routine.vital).holds(its_day)
                and person_limit(household, other, its_day) is None
            ]
            assert free == []
    assert all(minutes > 0 for minutes in loads.values())

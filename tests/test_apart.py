"""Kept apart: what must never meet is never proposed for one day while another day exists."""

from __future__ import annotations

from itertools import combinations, product

import pytest
from books import day, house, iso
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.household.apart import clash, pairs, share_area
from ledger.household.model import Household
from ledger.household.things import danger
from ledger.render.due_text import due_text
from ledger.render.week_text import week_text
from ledger.report.ahead import ahead
from ledger.report.due import Due, due
from ledger.report.scope import WHOLE, Scope
from ledger.report.task import Task
from ledger.report.week import Week, week

WEDNESDAY, SATURDAY = "2026-03-04", "2026-03-07"
AREAS = ("since 2026-03-02", "area bathroom", "area kitchen")
FLOOR = "  floor  10 min  in bathroom  uses bleach"
SCALE = "  scale  10 min  in bathroom  uses vinegar"
TILES = "  tiles  10 min  in bathroom  uses ammonia"

THINGS = ("bleach", "vinegar", "ammonia", "lye", "peroxide", "brush")
HEADERS = (
    "every day", "every wednesday", "every week", "every weekend", "every month",
    "every saturday", "every sunday within 3 days",
)  # fmt: skip


@st.composite
def books(draw: st.DrawFn) -> Household:
    """Households whose chores use such things here and there, some of them done or late."""
    lines = ["since 2026-02-20", "area bathroom", "area kitchen"]
    names = []
    for n in range(draw(st.integers(1, 6))):
        areas = draw(st.sampled_from(["", " in bathroom", " in kitchen", " in bathroom, kitchen"]))
        things = draw(st.lists(st.sampled_from(THINGS), max_size=2, unique=True))
        uses = f" uses {', '.join(things)}" if things else ""
        minutes = draw(st.integers(1, 30))
        lines += [draw(st.sampled_from(HEADERS)), f"  c{n}  {minutes} min{areas}{uses}"]
        names.append(f"c{n}")
    for date in sorted(draw(st.lists(st.integers(1, 4), max_size=3))):
        lines.append(f"2026-03-0{date} did {draw(st.sampled_from(names))}")
    return house(*lines)


def kept(tasks: list[Task]) -> bool:
    """True where no two of some tasks must be kept apart, by the definition alone."""
    return not any(
        danger(thing, other) and (not a.areas or not b.areas or set(a.areas) & set(b.areas))
        for a, b in combinations(tasks, 2)
        for thing in a.things
        for other in b.things
    )


# --------------------------------------------------------------------------------- what is apart


@given(books())
def test_pairs_are_those_of_the_definition_in_either_order(household: Household) -> None:
    lines = [line for chore in household.chores.values() for line in chore.routines]
    found = {pair[:2] for pair in pairs(lines)}
    every = combinations(range(len(lines)), 2)
    assert found == {
        *((n, n) for n, one in enumerate(lines) if clash(one, one)),
        *((a, b) for a, b in every if clash(lines[a], lines[b])),
    }
    for one, other in product(lines, lines):
        assert (clash(one, other) is None) == (clash(other, one) is None)
        assert share_area(one, other) == share_area(other, one)


def test_things_of_a_pair_stand_in_the_order_of_its_chores() -> None:
    household = house(*AREAS, "every day", SCALE, FLOOR, TILES)
    lines = [line for chore in household.chores.values() for line in chore.routines]
    assert [(pair.one, pair.other, *pair.clash[:2]) for pair in pairs(lines)] == [
        (0, 1, "vinegar", "bleach"),
        (1, 2, "bleach", "ammonia"),
    ]


def test_only_work_that_could_share_a_day_is_a_pair_where_days_are_given() -> None:
    household = house(*AREAS, "every day", FLOOR, SCALE)
    lines = [line for chore in household.chores.values() for line in chore.routines]
    assert len(pairs(lines, [(1, 3), (3, 5)])) == 1
    assert pairs(lines, [(1, 2), (3, 5)]) == []


# ------------------------------------------------------------------------------------ what is due


def asked(*lines: str, minutes: int | None = None, scope: Scope = WHOLE) -> Due:
    found = house(*AREAS, *lines)
    return due(found, day(WEDNESDAY), scope, minutes)


def picked(answer: Due) -> list[str]:
    assert answer.pick is not None
    return [task.chore for task in answer.pick.tasks]


def left(answer: Due) -> list[tuple[str, str, str | None]]:
    assert answer.pick is not None
    return [(one.task.chore, one.reason, one.apart_from) for one in answer.pick.left]


def test_three_that_must_never_meet_are_never_picked_together() -> None:
    answer = asked("every week", FLOOR, SCALE, TILES, minutes=30)
    # What the plan has for the day stands first.
    assert picked(answer) == ["tiles", "scale"]
    assert left(answer) == [("floor", "apart", "tiles")]
    assert "never on one day with tiles" in due_text(answer)


@settings(max_examples=60)
@given(books(), st.integers(1, 90))
def test_nothing_is_picked_beside_what_it_must_be_kept_apart_from(
    household: Household, minutes: int
) -> None:
    answer = due(household, day(WEDNESDAY), minutes=minutes)
    assert answer.pick is not None
    done = [task for task in answer.done if task.state == "done"]
    chosen = answer.pick.tasks
    assert kept(chosen)
    assert all(kept([one, other]) for one in chosen for other in done)
    assert all(clash(one, one) is None for one in chosen)


def test_what_is_done_on_the_day_keeps_its_foe_for_another() -> None:
    answer = asked("every week", FLOOR, SCALE, f"{WEDNESDAY} did floor", minutes=30)
    assert (picked(answer), left(answer)) == ([], [("scale", "apart", "floor")])
    assert [one.chores for one in answer.apart] == [("floor", "scale")]


def test_skipped_chore_keeps_nothing_away() -> None:
    answer = asked("every week", FLOOR, SCALE, f"{WEDNESDAY} skipped floor", minutes=30)
    assert (picked(answer), answer.apart) == (["scale"], ())


def test_chore_that_uses_both_is_never_picked_and_told() -> None:
    answer = asked("every day", "  bath  5 min  uses bleach, vinegar", minutes=30)
    assert left(answer) == [("bath", "apart", "bath")]
    assert answer.apart[0].chores == ("bath",)
    assert "uses two things that must never meet" in due_text(answer)
    assert "bath (bleach and vinegar): the two give off" in due_text(answer)


def test_chore_without_an_area_is_kept_apart_from_one_in_any() -> None:
    answer = asked("every week", FLOOR, "  scale  10 min  uses vinegar", minutes=30)
    assert picked(answer) == ["floor"]
    assert answer.apart[0].areas == ()


def test_two_areas_may_have_both_on_one_day() -> None:
    answer = asked("every week", FLOOR, SCALE.replace("bathroom", "kitchen"), minutes=30)
    assert (picked(answer), answer.apart) == (["floor", "scale"], ())


@pytest.mark.parametrize(
    "scope", [Scope(), Scope("tam"), Scope("noor"), Scope(None, "kitchen"), Scope("tam", "kitchen")]
)
@pytest.mark.parametrize("minutes", [None, 1, 30])
def test_scope_and_minutes_hide_nothing_that_a_day_must_not_hold(
    scope: Scope, minutes: int | None
) -> None:
    people = ("person tam", "person noor")
    lines = (*people, "every day", f"{FLOOR}  by tam", f"{SCALE}  by noor")
    answer = asked(*lines, minutes=minutes, scope=scope)
    assert [one.chores for one in answer.apart] == [("floor", "scale")]
    said = due_text(answer)
    assert said.index("Never on one day") < said.index("floor (bleach) and scale (vinegar)")


# ----------------------------------------------------------------------------------- the week


def laid_out(*lines: str, on: str = WEDNESDAY, scope: Scope = WHOLE) -> Week:
    found = house(*AREAS, *lines)
    return week(found, day(on), scope)


def days_of(answer: Week, chore: str) -> list[str]:
    return [
        iso(one.day.toordinal())
        for one in answer.days
        for task in one.tasks
        if task.chore == chore and task.state in ("due", "overdue")
    ]


def together(answer: Week) -> list[tuple[str, tuple[str, ...]]]:
    return [(iso(one.day.toordinal()), pair.chores) for one in answer.days for pair in one.apart]


def test_windows_of_a_week_that_must_be_kept_apart_have_days_of_their_own() -> None:
    answer = laid_out("every week", FLOOR, SCALE, TILES)
    assert together(answer) == []
    (floor,), (scale,), (tiles,) = (days_of(answer, name) for name in ("floor", "scale", "tiles"))
    assert floor not in (scale, tiles)


def test_window_of_a_weekend_leaves_the_day_to_one_that_has_no_other() -> None:
    answer = laid_out("every saturday", FLOOR, "every weekend", SCALE)
    assert days_of(answer, "scale") == ["2026-03-08"]
    assert together(answer) == []


def test_two_of_one_day_are_told_on_it_above_their_lines() -> None:
    answer = laid_out("every saturday", FLOOR, SCALE)
    assert together(answer) == [(SATURDAY, ("floor", "scale"))]
    said = week_text(answer)
    assert said.index("  Never on one day") < said.index("\n  floor")


def test_late_one_waits_where_the_day_belongs_to_its_foe() -> None:
    lines = ("every monday", FLOOR, "every wednesday", SCALE)
    answer = laid_out(*lines)
    assert days_of(answer, "floor")[0] > WEDNESDAY
    assert together(answer) == []
    # With nothing in its way it stands on the day asked about.
    assert days_of(laid_out(*lines[:2]), "floor") == [WEDNESDAY]


def test_what_is_done_on_the_day_keeps_its_foe_off_it() -> None:
    answer = laid_out("every week", FLOOR, SCALE, f"{WEDNESDAY} did floor")
    assert days_of(answer, "scale")[0] > WEDNESDAY
    assert together(answer) == []


def test_what_was_done_before_keeps_nothing_off_the_day() -> None:
    answer = laid_out("every week", FLOOR, SCALE, "2026-03-03 did floor")
    assert days_of(answer, "scale") == [WEDNESDAY]
    done = [task.chore for task in answer.days[1].tasks]
    assert done == ["floor"]


@settings(max_examples=60)
@given(books())
def test_no_task_stands_beside_a_foe_while_it_has_a_day_without(household: Household) -> None:
    answer = week(household, day(WEDNESDAY))
    foes_on: dict[str, list[Task]] = {}
    for one in answer.days:
        foes_on[one.day.isoformat()] = [
            t for t in one.tasks if t.state not in ("skipped", "missed")
        ]
    for date, tasks in foes_on.items():
        for task in tasks:
            if task.state != "due" or date < WEDNESDAY:
                continue
            others = [other for other in tasks if other is not task]
            if all(kept([task, other]) for other in others):
                continue
            met = sum(not kept([task, other]) for other in others)
            for elsewhere in foes_on:
                if max(task.first.isoformat(), WEDNESDAY) <= elsewhere <= task.last.isoformat():
                    there = [other for other in foes_on[elsewhere] if other is not task]
                    assert sum(not kept([task, other]) for other in there) >= met


@pytest.mark.parametrize("scope", [Scope("tam"), Scope(None, "kitchen")])
def test_scope_hides_no_pair_of_a_day_of_the_week(scope: Scope) -> None:
    lines = (
        "person tam",
        "person noor",
        "every saturday",
        f"{FLOOR}  by noor",
        f"{SCALE}  by noor",
    )
    assert together(laid_out(*lines, scope=scope)) == [(SATURDAY, ("floor", "scale"))]


def test_year_ahead_puts_none_beside_its_foe() -> None:
    household = house(*AREAS, "every week", FLOOR, SCALE)
    answer = ahead(household, day(WEDNESDAY), 4)
    assert {len(one.tasks) for one in answer.heaviest} == {1}

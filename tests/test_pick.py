"""Pick: the best of a day that fits in so many minutes, against all other choices."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

import pytest
from books import day, house
from hypothesis import given
from hypothesis import strategies as st

from ledger.planning.pick import Candidate, pick
from ledger.render.due_text import due_text
from ledger.report.due import Due, due
from ledger.report.pick import Pick

WEDNESDAY = "2026-03-04"

candidates = st.builds(
    lambda minutes, state, lateness, vital: Candidate(
        minutes,
        lateness if state == "late" else 0,
        state == "today",
        vital and state != "spare",
        state == "spare",
    ),
    st.integers(0, 20),
    st.sampled_from(["late", "today", "may_wait", "spare"]),
    st.sampled_from([1, 333, 500_000, 1_000_000, 1_500_000]),
    st.booleans(),
)

Pairs = Sequence[tuple[int, int]]
Reasons = tuple[int, int, int, int, int, int, tuple[bool, ...]]


def reasons(some: Sequence[Candidate], places: Sequence[int]) -> Reasons:
    """Why a choice is better than another, the first reason first."""
    chosen = [some[place] for place in places]
    return (
        sum(one.vital for one in chosen),
        sum(one.lateness for one in chosen),
        sum(one.today for one in chosen),
        sum(not one.today and not one.lateness and not one.spare for one in chosen),
        sum(one.spare for one in chosen),
        -sum(one.minutes for one in chosen),
        tuple(place in places for place in range(len(some))),
    )


def best_of_all(some: Sequence[Candidate], room: int, apart: Pairs = ()) -> tuple[int, ...]:
    """The best choice, found by trying them all."""
    return max(
        (
            places
            for size in range(len(some) + 1)
            for places in combinations(range(len(some)), size)
            if sum(some[place].minutes for place in places) <= room
            and not any(one in places and other in places for one, other in apart)
        ),
        key=lambda places: reasons(some, places),
    )


# ------------------------------------------------------------------------ the best choice


@given(st.lists(candidates, max_size=9), st.integers(1, 90))
def test_no_other_choice_of_a_few_tasks_is_better(some: list[Candidate], room: int) -> None:
    assert tuple(pick(some, room)) == best_of_all(some, room)


@st.composite
def kept_apart(draw: st.DrawFn) -> tuple[list[Candidate], Pairs]:
    """A few tasks, and pairs of them that must be kept apart, one of itself now and then."""
    some = draw(st.lists(candidates, min_size=1, max_size=9))
    places = st.integers(0, len(some) - 1)
    return some, draw(st.lists(st.tuples(places, places), max_size=14))


@given(kept_apart(), st.integers(1, 90))
def test_no_other_choice_that_keeps_apart_what_must_be_is_better(
    case: tuple[list[Candidate], Pairs], room: int
) -> None:
    some, apart = case
    assert tuple(pick(some, room, apart)) == best_of_all(some, room, apart)


@pytest.mark.parametrize("shape", ["ring", "hub", "sides", "pairs"])
def test_no_other_choice_of_tasks_all_kept_apart_in_one_shape_is_better(shape: str) -> None:
    some = [Candidate(3 + place * 7 % 11, 0, place % 3 == 0) for place in range(12)]
    apart = {
        "ring": [(place, (place + 1) % 12) for place in range(12)],
        "hub": [(0, place) for place in range(1, 12)] + [(1, 2), (3, 4), (5, 6)],
        "sides": [(one, other) for one in range(5) for other in range(5, 12)],
        "pairs": [(place, place + 1) for place in range(0, 12, 2)],
    }[shape]
    for room in (20, 41, 90):
        assert tuple(pick(some, room, apart)) == best_of_all(some, room, apart)


def test_what_hangs_together_in_too_many_ways_is_still_kept_apart() -> None:
    count = 90
    some = [Candidate(1 + place % 5, 0, True) for place in range(count)]
    apart = [(one, (one * step + 1) % count) for one in range(count) for step in (1, 7, 11)]
    places = pick(some, 300, apart)
    assert places
    assert not any(one in places and other in places for one, other in apart)


@pytest.mark.parametrize("size", [14, 15, 16])
def test_no_other_choice_of_many_tasks_is_better(size: int) -> None:
    some = [
        Candidate(3 + place * 7 % 11, (place % 4 == 0) * (place + 1) * 250_000, place % 4 == 1)
        for place in range(size)
    ]
    for room in (20, 41):
        assert tuple(pick(some, room)) == best_of_all(some, room)


@given(st.lists(candidates, max_size=40), st.integers(1, 1440))
def test_what_is_picked_fits_and_nothing_that_is_left_would_fit_beside_it(
    some: list[Candidate], room: int
) -> None:
    places = pick(some, room)
    rest = room - sum(some[place].minutes for place in places)
    assert rest >= 0
    assert all(some[n].minutes > rest for n in range(len(some)) if n not in places)


@given(st.lists(candidates, max_size=30), st.integers(1, 200))
def test_more_minutes_are_never_worse(some: list[Candidate], room: int) -> None:
    less, more = pick(some, room), pick(some, room + 5)
    assert reasons(some, more)[:5] >= reasons(some, less)[:5]


def test_earlier_of_two_equal_tasks_is_picked() -> None:
    assert pick([Candidate(5, 0, True)] * 3, 11) == [0, 1]


# ------------------------------------------------------------------------ what a day asks for


def asked(*lines: str, minutes: int, on: str = WEDNESDAY) -> Due:
    """What a day asks for in some minutes, by a book that begins with the year 2026."""
    return due(house("since 2026-01-01", *lines), day(on), minutes=minutes)


def picked(answer: Due) -> list[str]:
    return [task.chore for task in taken(answer).tasks]


def left(answer: Due) -> list[tuple[str, int | None, str]]:
    return [(one.task.chore, one.minutes, one.reason) for one in taken(answer).left]


def taken(answer: Due) -> Pick:
    assert answer.pick is not None
    return answer.pick


DAY = (
    "every monday", "  vacuum  10 min", "every day", "  mop  8 min  after sweep",
    "  sweep  5 min", "  cups  20 min", "  beds", "every week", "  plan  4 min",
)  # fmt: skip


def test_late_work_comes_first_then_the_day_then_what_may_wait() -> None:
    assert [picked(asked(*DAY, minutes=n)) for n in (3, 4, 9, 10, 15, 23, 27, 60)] == [
        [],
        ["plan"],
        ["sweep", "plan"],
        ["vacuum"],
        ["vacuum", "sweep"],
        ["vacuum", "sweep", "mop"],
        ["vacuum", "sweep", "mop", "plan"],
        ["vacuum", "sweep", "mop", "cups", "plan"],
    ]


def test_vital_work_comes_before_what_is_late_and_spare_work_behind_all() -> None:
    book = (*DAY[:3], "  mop  8 min", "every day vital", "  pills  9 min", "every week spare",
            "  photos  4 min", "every week", "  plan  4 min")  # fmt: skip
    assert [picked(asked(*book, minutes=n)) for n in (9, 13, 17, 19, 23, 31, 35)] == [
        ["pills"],
        ["pills", "plan"],
        ["mop", "pills"],
        ["vacuum", "pills"],
        ["vacuum", "pills", "plan"],
        ["vacuum", "mop", "pills", "plan"],
        ["vacuum", "mop", "pills", "plan", "photos"],
    ]


def test_minutes_worked_leave_less_to_fit_in_as_declared_and_as_learned() -> None:
    timed = [f"2026-02-1{n} did oven 30 min" for n in range(5)]
    book = ("every week", "  tax  20 min", "every day", "  oven  5 min")
    worked = ("2026-03-04 worked tax 15 min, oven 22 min", "2026-03-04 worked tax 10 min")
    assert left(asked(*book, *timed, minutes=5)) == [("oven", 30, "too-long"),
                                                     ("tax", 20, "too-long")]  # fmt: skip
    answer = asked(*book, *timed, *worked, minutes=8)
    assert [(one.task.chore, one.minutes) for one in taken(answer).picked] == [
        ("oven", 8), ("tax", 0),
    ]  # fmt: skip
    assert answer.likely == (8, 8, 8)


def test_reason_for_what_is_left_says_what_would_have_to_change() -> None:
    answer = asked(*DAY, minutes=18)
    assert left(answer) == [
        ("mop", 8, "no-room"),
        ("cups", 20, "too-long"),
        ("beds", None, "unknown"),
        ("plan", 4, "no-room"),
    ]
    assert (taken(answer).used, taken(answer).rest) == (15, 3)
    lines = due_text(answer).splitlines()
    assert lines[lines.index("In 18 min") :] == [
        "In 18 min",
        "  vacuum  10 min  2 days late",
        "  sweep    5 min",
        "",
        "Together: 15 min of 18 min",
        "",
        "Left for later",
        "  mop    8 min  needs 8 min, 3 min left",
        "  cups  20 min  needs 20 min, there are 18 min",
        "  beds       -  its minutes are not known",
        "  plan   4 min  needs 4 min, 3 min left",
    ]


def test_lists_of_the_day_are_answered_all_the_same_but_not_shown() -> None:
    answer = asked(*DAY, "2026-03-04 did cups", minutes=10)
    assert [task.chore for task in answer.today] == ["sweep", "mop", "beds"]
    assert [task.chore for task in answer.done] == ["cups"]
    assert not {"Late", "This day", "May wait", "Done"} & set(due_text(answer).splitlines())


def test_late_task_that_is_left_says_how_late_it_is() -> None:
    book = ("every monday", "  vacuum  10 min", "  oven  50 min")
    text = due_text(asked(*book, "  dust  50 min", minutes=60))
    assert "  dust  50 min  2 days late, needs 50 min, none left\n" in text
    text = due_text(asked(*book, minutes=10))
    assert "  oven  50 min  2 days late, needs 50 min, there are 10 min\n" in text


def test_task_that_may_wait_says_until_when() -> None:
    assert "  plan  4 min  until Sun 8 Mar\n" in due_text(asked(*DAY, minutes=4))


def test_minutes_are_counted_as_learned_and_rounded_up() -> None:
    timed = [
        f"2026-02-1{n} did oven {minutes} min" for n, minutes in enumerate((9, 9, 9, 10, 10, 10))
    ]
    book = ("every day", "  oven  5 min", *timed)
    assert left(asked(*book, minutes=9)) == [("oven", 10, "too-long")]
    assert taken(asked(*book, minutes=10)).picked[0].minutes == 10


def test_minutes_learned_of_a_chore_that_declares_none_are_enough() -> None:
    timed = [f"2026-02-1{n} did oven 9 min" for n in range(5)]
    assert picked(asked("every day", "  oven", *timed, minutes=9)) == ["oven"]


def test_work_of_each_is_counted_once_a_person() -> None:
    book = ("person noor", "person tam", "every day", "  beds  5 min  by each")
    assert left(asked(*book, minutes=9)) == [("beds", 10, "too-long")]
    assert picked(asked(*book, minutes=10)) == ["beds"]


def test_task_that_is_late_by_little_of_its_period_comes_before_the_day() -> None:
    book = ("once from 2026-01-01 to 2026-03-03", "  tree  5 min", "every day", "  cups  5 min")
    assert picked(asked(*book, minutes=5)) == ["tree"]


def test_task_on_its_last_day_comes_before_two_that_may_wait() -> None:
    """In time, none of them is late by anything, so their number alone does not decide."""
    book = ("every week", "  plan  4 min", "  dust  5 min", "every day", "  cups  9 min")
    assert picked(asked(*book, minutes=9)) == ["cups"]


def test_task_that_is_late_by_hardly_any_of_its_period_still_counts_as_late() -> None:
    household = house("since 1970-01-01", "once from 1970-01-01 to 9999-03-01", "  tree  5 min",
                      "every day from 9999-03-01", "  cups  5 min")  # fmt: skip
    assert picked(due(household, day("9999-03-02"), minutes=5)) == ["tree"]


def test_containers_and_cautions_are_those_of_what_is_picked() -> None:
    answer = asked('every day "Blue tin"', "  cups  5 min  uses bleach", 'every day "Red tin"',
                   "  oven  40 min  uses lye", minutes=30)  # fmt: skip
    assert answer.containers == ("Blue tin",)
    assert [caution.thing for caution in answer.cautions] == ["bleach"]


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ((), "Nothing is left for this day."),
        (("every day", "  oven  40 min"), "Nothing fits in 5 min."),
        (("every day", "  oven"), "Nothing fits in 5 min."),
    ],
)
def test_nothing_picked_is_said(lines: tuple[str, ...], said: str) -> None:
    assert said in due_text(asked(*lines, minutes=5)).splitlines()


def test_without_minutes_nothing_is_picked() -> None:
    household = house("since 2026-01-01", *DAY)
    assert due(household, day(WEDNESDAY)).pick is None

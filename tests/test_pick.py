"""Pick: the best of a day that fits in so many minutes, against all other choices."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import combinations

import pytest
from books import day, house
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.household.apart import clash
from ledger.household.model import Household
from ledger.keeping.history import shares_of
from ledger.planning.pick import Candidate, Kind, pick
from ledger.render.due_markdown import due_markdown
from ledger.render.due_text import due_text
from ledger.render.layout import Sheet
from ledger.report.due import Due, due
from ledger.report.pick import Pick
from ledger.report.scope import Scope
from ledger.report.task import Task

WEDNESDAY = "2026-03-04"

candidates = st.builds(
    lambda minutes, kind, lateness, is_late: Candidate(
        minutes, kind, lateness if kind is Kind.LATE or (kind is Kind.VITAL and is_late) else 0
    ),
    st.integers(0, 20),
    st.sampled_from(Kind),
    st.sampled_from([1, 333, 500_000, 1_000_000, 1_500_000]),
    st.booleans(),
)

Pairs = Sequence[tuple[int, int]]
Reasons = tuple[int, int, int, int, int, int, int, tuple[bool, ...]]


def reasons(some: Sequence[Candidate], places: Sequence[int]) -> Reasons:
    """Why a choice is better than another, the first reason first."""
    chosen = [some[place] for place in places]
    kinds = [one.kind for one in chosen]
    return (
        kinds.count(Kind.VITAL),
        kinds.count(Kind.LAST_CHANCE),
        sum(one.lateness for one in chosen),
        kinds.count(Kind.LAST_DAY),
        kinds.count(Kind.MAY_WAIT),
        sum(one.minutes for one in chosen if one.kind is not Kind.SPARE),
        kinds.count(Kind.SPARE),
        tuple(place in places for place in range(len(some))),
    )


def is_allowed(places: Sequence[int], apart: Pairs, after: Pairs) -> bool:
    return not any(one in places and other in places for one, other in apart) and all(
        other in places for one, other in after if one in places
    )


def best_of_all(
    some: Sequence[Candidate], room: int, apart: Pairs = (), after: Pairs = ()
) -> tuple[int, ...]:
    """The best choice, found by trying them all."""
    return max(
        (
            places
            for size in range(len(some) + 1)
            for places in combinations(range(len(some)), size)
            if sum(some[place].minutes for place in places) <= room
            and is_allowed(places, apart, after)
        ),
        key=lambda places: reasons(some, places),
    )


# ------------------------------------------------------------------------ the best choice


@given(st.lists(candidates, max_size=9), st.integers(1, 90))
def test_no_other_choice_of_a_few_tasks_is_better(some: list[Candidate], room: int) -> None:
    assert tuple(pick(some, room)) == best_of_all(some, room)


@st.composite
def linked(draw: st.DrawFn) -> tuple[list[Candidate], Pairs, Pairs]:
    """A few tasks, with pairs that must be kept apart, one of itself now and then, and pairs of
    which one comes after the other, in circles now and then."""
    some = draw(st.lists(candidates, min_size=1, max_size=9))
    places = st.integers(0, len(some) - 1)
    pairs = st.lists(st.tuples(places, places), max_size=10)
    return some, draw(pairs), draw(pairs)


@settings(max_examples=300)
@given(linked(), st.integers(1, 90))
def test_no_other_choice_that_keeps_apart_and_keeps_to_after_is_better(
    case: tuple[list[Candidate], Pairs, Pairs], room: int
) -> None:
    some, apart, after = case
    assert tuple(pick(some, room, apart, after)) == best_of_all(some, room, apart, after)


@pytest.mark.parametrize("shape", ["chain", "out", "in", "tree", "circle"])
def test_no_other_choice_of_tasks_all_after_one_another_in_one_shape_is_better(shape: str) -> None:
    kinds = list(Kind)
    some = [Candidate(place * 7 % 11, kinds[place * 5 % 6]) for place in range(12)]
    after = {
        "chain": [(place, place - 1) for place in range(1, 12)],
        "out": [(place, 0) for place in range(1, 12)],
        "in": [(0, place) for place in range(1, 12)],
        "tree": [(place, (place - 1) // 2) for place in range(1, 12)],
        "circle": [(place, (place + 1) % 4) for place in range(4)] + [(7, 2), (1, 9)],
    }[shape]
    for room in (9, 20, 41):
        assert tuple(pick(some, room, (), after)) == best_of_all(some, room, (), after)


@pytest.mark.parametrize("shape", ["ring", "hub", "sides", "pairs"])
def test_no_other_choice_of_tasks_all_kept_apart_in_one_shape_is_better(shape: str) -> None:
    some = [
        Candidate(3 + place * 7 % 11, Kind.MAY_WAIT if place % 3 else Kind.LAST_DAY)
        for place in range(12)
    ]
    apart = {
        "ring": [(place, (place + 1) % 12) for place in range(12)],
        "hub": [(0, place) for place in range(1, 12)] + [(1, 2), (3, 4), (5, 6)],
        "sides": [(one, other) for one in range(5) for other in range(5, 12)],
        "pairs": [(place, place + 1) for place in range(0, 12, 2)],
    }[shape]
    for room in (20, 41, 90):
        assert tuple(pick(some, room, apart)) == best_of_all(some, room, apart)


@pytest.mark.parametrize("links", ["apart", "after", "both"])
def test_what_hangs_together_in_too_many_ways_keeps_to_it_all_the_same(links: str) -> None:
    count = 90
    some = [Candidate(1 + place % 5, Kind.LAST_DAY) for place in range(count)]
    apart = [(one, (one * step + 1) % count) for one in range(count) for step in (1, 7, 11)]
    after = [(one, one * step // 16) for one in range(1, count) for step in (5, 11)]
    apart, after = (apart if links != "after" else []), (after if links != "apart" else [])
    places = pick(some, 150, apart, after)
    assert places
    assert is_allowed(places, apart, after)
    assert sum(some[place].minutes for place in places) <= 150


@pytest.mark.parametrize("shape", ["chain", "in"])
def test_long_chains_are_picked_to_the_best_end(shape: str) -> None:
    """Equal tasks: as many of a chain of 160 as fit; of many before one, all or only some."""
    some = [Candidate(2, Kind.LAST_DAY)] * 160
    after = (
        [(n, n - 1) for n in range(1, 160)] if shape == "chain" else [(0, n) for n in range(160)]
    )
    expected = list(range(75)) if shape == "chain" else list(range(1, 76))
    assert pick(some, 150, (), after) == expected


@pytest.mark.parametrize("size", [14, 15, 16])
def test_no_other_choice_of_many_tasks_is_better(size: int) -> None:
    some = [
        Candidate(3 + place * 7 % 11, Kind.LATE, (place + 1) * 250_000)
        if place % 4 == 0
        else Candidate(3 + place * 7 % 11, Kind.LAST_DAY if place % 4 == 1 else Kind.MAY_WAIT)
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
    assert reasons(some, more)[:7] >= reasons(some, less)[:7]


def test_earlier_of_two_equal_tasks_is_picked() -> None:
    assert pick([Candidate(5, Kind.LAST_DAY)] * 3, 11) == [0, 1]


def test_of_as_many_tasks_those_that_fill_the_time_are_picked() -> None:
    assert pick([Candidate(minutes, Kind.MAY_WAIT) for minutes in (5, 9, 4)], 13) == [1, 2]


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


def test_what_cannot_be_done_later_comes_first_then_late_work_then_what_may_wait() -> None:
    assert [picked(asked(*DAY, minutes=n)) for n in (3, 4, 9, 10, 13, 15, 23, 27, 37, 60)] == [
        [],
        ["plan"],
        ["sweep", "plan"],
        ["sweep", "plan"],
        ["sweep", "mop"],
        ["sweep", "mop"],
        ["vacuum", "sweep", "mop"],
        ["vacuum", "sweep", "mop", "plan"],
        ["sweep", "mop", "cups", "plan"],
        ["vacuum", "sweep", "mop", "cups", "plan"],
    ]


def test_vital_work_comes_before_all_else_and_spare_work_behind_it() -> None:
    book = (*DAY[:3], "  mop  8 min", "every day vital", "  pills  9 min", "every week spare",
            "  photos  4 min", "every week", "  plan  4 min")  # fmt: skip
    assert [picked(asked(*book, minutes=n)) for n in (8, 9, 13, 17, 19, 21, 27, 31, 35)] == [
        ["mop"],
        ["pills"],
        ["pills", "plan"],
        ["mop", "pills"],
        ["mop", "pills"],
        ["mop", "pills", "plan"],
        ["vacuum", "mop", "pills"],
        ["vacuum", "mop", "pills", "plan"],
        ["vacuum", "mop", "pills", "plan", "photos"],
    ]


def test_vital_work_that_may_wait_waits_like_any_other() -> None:
    book = ("every week vital", "  filter  9 min", "every day", "  cups  9 min")
    assert picked(asked(*book, minutes=9)) == ["cups"]
    assert picked(asked(*book, minutes=9, on="2026-03-08")) == ["filter"]


def test_late_vital_work_comes_before_what_cannot_be_done_later() -> None:
    book = ("every monday vital", "  filter  9 min", "every day", "  cups  4 min", "  mop  5 min")
    assert picked(asked(*book, minutes=9)) == ["filter"]


@pytest.mark.parametrize(
    ("chore", "is_first"),
    [
        ("every day", True),
        ("every wednesday", False),
        ("every wednesday expires", True),
        ("every monday, tuesday, wednesday, thursday", True),
        ("every monday, wednesday, friday", False),
        ("every monday within 3 days", False),
        ("every thursday within 7 days", True),
        ("every wednesday until 2026-03-04", True),
        ("3 days after done", False),
        ("every week except thursday, friday, saturday, sunday", True),
    ],
)
def test_what_comes_round_again_before_it_is_asked_again_cannot_be_done_later(
    chore: str, is_first: bool
) -> None:
    late = ("every tuesday", "  tiles  5 min")
    kept = ["2026-03-01 did cups"] if "done" in chore else []
    assert picked(asked(*late, chore, "  cups  5 min", *kept, minutes=5)) == [
        "cups" if is_first else "tiles"
    ]


def test_share_that_only_another_person_can_do_later_cannot_be_done_later() -> None:
    book = ("person noor", "person tam", "away 2026-03-05 to 2026-03-08 by noor", "every tuesday",
            "  tiles  5 min", "every week", "  wash  5 min  by each")  # fmt: skip
    (task,) = taken(asked(*book, minutes=5)).tasks
    assert (task.chore, task.people) == ("wash", ("noor",))


def test_nothing_is_picked_without_what_it_comes_after() -> None:
    chain = ("every day", "  mop  8 min  after sweep", "  sweep  5 min  after clear",
             "every month", "  clear  20 min", "every wednesday", "  cups  30 min")  # fmt: skip
    assert [picked(asked(*chain, minutes=n)) for n in (24, 25, 32, 33, 63)] == [
        ["clear"],
        ["clear", "sweep"],
        ["clear", "sweep"],
        ["clear", "sweep", "mop"],
        ["clear", "sweep", "mop", "cups"],
    ]
    assert picked(asked(*chain, "2026-03-04 did clear", minutes=13)) == ["sweep", "mop"]
    answer = asked("every day", "  mop  8 min  after sweep, dust", "  sweep", "  dust  5 min",
                   minutes=60)  # fmt: skip
    assert picked(answer) == ["dust"]
    assert [(one.task.chore, one.reason, one.after) for one in taken(answer).left] == [
        ("sweep", "unknown", None), ("mop", "after", "sweep"),
    ]  # fmt: skip


def test_of_each_all_open_shares_come_before() -> None:
    book = ("person noor", "person tam", "every day", "  beds  5 min  by each",
            "  sweep  6 min  by tam  after beds")  # fmt: skip
    assert [picked(asked(*book, minutes=n)) for n in (10, 15, 16)] == [
        ["beds"], ["beds"], ["beds", "sweep"]
    ]  # fmt: skip
    assert picked(asked(*book, "2026-03-04 did beds by noor", minutes=11)) == ["beds", "sweep"]
    assert picked(asked(*book, "2026-03-04 did beds by noor, tam", minutes=6)) == ["sweep"]


def test_minutes_of_one_person_are_their_own_and_what_others_do_first_is_said() -> None:
    household = house("since 2026-01-01", "person noor", "person tam", "every day",
                      "  beds  5 min  by each", "  wash  6 min  by noor and tam",
                      "  cups  9 min  by noor", "  sweep  6 min  by tam  after beds, cups",
                      )  # fmt: skip
    everybody = due(household, day(WEDNESDAY), minutes=60)
    assert [one.minutes for one in taken(everybody).picked] == [10, 12, 9, 6]
    assert all(one.once_done == () for one in taken(everybody).picked)
    answer = due(household, day(WEDNESDAY), Scope("tam"), minutes=17)
    assert [(one.task.chore, one.minutes, one.once_done) for one in taken(answer).picked] == [
        ("beds", 5, ()), ("wash", 6, ()), ("sweep", 6, ("beds", "cups")),
    ]  # fmt: skip
    assert "  sweep  6 min  once beds is done, once cups is done\n" in plain_blanks(
        due_text(answer)
    )


def plain_blanks(text: str) -> str:
    """The text, with two blanks for more."""
    return re.sub(" {2,}", "  ", text)


def test_minutes_worked_leave_less_to_fit_in_as_declared_and_as_learned() -> None:
    timed = [f"2026-02-1{n} did oven 30 min" for n in range(5)]
    book = ("every week", "  tax  20 min", "every day", "  oven  5 min")
    worked = ("2026-03-04 worked tax 15 min, oven 22 min", "2026-03-04 worked tax 10 min")
    assert sorted(left(asked(*book, *timed, minutes=5))) == [("oven", 30, "too-long"),
                                                             ("tax", 20, "too-long")]  # fmt: skip
    answer = asked(*book, *timed, *worked, minutes=8)
    assert sorted((one.task.chore, one.minutes) for one in taken(answer).picked) == [
        ("oven", 8), ("tax", 0),
    ]  # fmt: skip
    assert answer.likely == (8, 8, 8)


def test_reason_for_what_is_left_says_what_would_have_to_change() -> None:
    answer = asked(*DAY, minutes=19)
    assert left(answer) == [
        ("vacuum", 10, "no-room"),
        ("cups", 20, "too-long"),
        ("beds", None, "unknown"),
    ]
    assert (taken(answer).used, taken(answer).rest) == (17, 2)
    lines = due_text(answer).splitlines()
    assert lines[lines.index("In 19 min") :] == [
        "In 19 min",
        "  sweep  5 min",
        "  mop    8 min",
        "  plan   4 min  until Sun 8 Mar",
        "",
        "Together: 17 min of 19 min",
        "",
        "Left for later",
        "  No time for: vacuum 10 min",
        "  Longer than 19 min: cups 20 min",
        "  Minutes not known: beds",
    ]


AREA = "area bathroom"
NUMBERS = range(30)
REASONS = (
    AREA, "every day", *(f"  oven-{n}  50 min" for n in NUMBERS), *(f"  beds-{n}" for n in NUMBERS),
    *(f"  mop-{n}  2 min  after beds-{n}" for n in NUMBERS),
    "  floor  5 min  in bathroom  uses bleach", "  tiles  5 min  in bathroom  uses vinegar",
    "every month", *(f"  tax-{n}  9 min" for n in NUMBERS), "every month vital", "  filter  9 min",
)  # fmt: skip


@pytest.mark.parametrize("columns", [40, 60, 80, 160])
def test_what_is_left_takes_at_most_five_lines_and_counts_all(columns: int) -> None:
    answer = asked(*REASONS, minutes=13)
    text = due_text(answer, Sheet(columns))
    lines = text.split("Left for later\n")[1].split("\n\n")[0].splitlines()
    assert len(lines) == 4
    assert max(map(len, lines)) <= columns
    assert columns == 40 or lines[0].startswith("  No time for: filter 9 min (vital)")
    counts = [re.search(r"(and (\d+) more|: (\d+) chores)$", line) for line in lines]
    told = [
        int(found[2]) + line.count(", ") + 1 if found[2] else int(found[3])
        for line, found in zip(lines, counts, strict=True)
        if found
    ]
    assert told == [31, 30, 30, 31]


def test_line_without_room_for_a_name_says_how_many_there_are() -> None:
    book = ("every day", f'  oven  50 min  "{"long " * 20}"', "  dust  50 min")
    assert "  Longer than 5 min: 2 chores\n" in due_text(asked(*book, minutes=5))
    text = due_markdown(asked(*book, minutes=5))
    assert f"- Longer than 5 min: {('long ' * 20).strip()} 50 min, dust 50 min" in text


def test_lists_of_the_day_are_answered_all_the_same_but_not_shown() -> None:
    answer = asked(*DAY, "2026-03-04 did cups", minutes=10)
    assert [task.chore for task in answer.today] == ["sweep", "mop", "beds"]
    assert [task.chore for task in answer.done] == ["cups"]
    assert not {"Late", "This day", "May wait", "Done"} & set(due_text(answer).splitlines())


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


def test_task_that_is_late_by_little_comes_before_one_that_can_be_done_late() -> None:
    book = ("once from 2026-01-01 to 2026-03-03", "  tree  5 min", "every wednesday",
            "  cups  5 min")  # fmt: skip
    assert picked(asked(*book, minutes=5)) == ["tree"]


def test_task_on_its_last_day_comes_before_two_that_may_wait() -> None:
    """In time, none of them is late by anything, so their number alone does not decide."""
    book = ("every week", "  plan  4 min", "  dust  5 min", "every wednesday", "  cups  9 min")
    assert picked(asked(*book, minutes=9)) == ["cups"]


def test_task_that_is_late_by_hardly_any_of_its_period_still_counts_as_late() -> None:
    household = house("since 1970-01-01", "once from 1970-01-01 to 9999-03-01", "  tree  5 min",
                      "every tuesday from 9999-03-01", "  cups  5 min")  # fmt: skip
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


# ------------------------------------------------------------------------ by an independent count

SECTIONS = ("every day", "every monday", "every wednesday", "every week", "every weekend",
            "every 2 weeks from 2026-01-05", "every month", "3 days after done",
            "every tuesday within 4 days", "2 times every week",
            "every monday, tuesday, friday")  # fmt: skip
NAMES = "abcdefg"
USES = ("  in bath  uses bleach", "  in bath  uses vinegar")
BY = ("  by tam", "  by noor or tam", "  by each", "  by noor and tam")


@st.composite
def books(draw: st.DrawFn) -> Household:
    """A book of a few chores of all kinds, some after others, some never to meet."""
    lines = ["since 2026-02-02", "area bath", "person noor", "person tam"]
    lines += draw(st.sampled_from([[], ["away 2026-03-05 to 2026-03-07 by tam"]]))
    for place, name in enumerate(NAMES[: draw(st.integers(2, len(NAMES)))]):
        flag = draw(st.sampled_from(["", "", " vital", " expires", " spare"]))
        lines.append(draw(st.sampled_from(SECTIONS)) + flag)
        uses = draw(
            st.sampled_from(["", "", "", "  in bath  uses bleach", "  in bath  uses vinegar"])
        )
        who = draw(
            st.sampled_from(["", "  by tam", "  by noor or tam", "  by each", "  by noor and tam"])
        )
        earlier = draw(st.sets(st.sampled_from(NAMES[:place]), max_size=2)) if place else ()
        after = f"  after {', '.join(sorted(earlier))}" if earlier else ""
        lines.append(f"  {name}  {draw(st.integers(1, 12))} min{who}{uses}{after}")
    days = draw(st.lists(st.tuples(st.integers(1, 28), st.sampled_from(NAMES)), max_size=8))
    names = [line.split()[0] for line in lines if line.startswith("  ")]
    return house(*lines, *(f"2026-02-{n:02} did {name}" for n, name in days if name in names))


def comes_again(household: Household, on: int, task: Task) -> bool:
    """True if a list of the next weeks shows the same window of a task, if it is not done."""
    return any(
        one.first == task.first.toordinal() and (not task.each or one.person in task.people)
        for later in range(on + 1, on + 50)
        for share in shares_of(household, household.chores[task.chore], later, later)
        if (one := share.shown) is not None
    )


def kind_of(household: Household, on: int, task: Task) -> Kind:
    """What a task is, from what later lists show."""
    last = task.last_asked or task.last
    if task.spare:
        return Kind.SPARE
    if task.state == "due" and last.toordinal() > on:
        return Kind.MAY_WAIT
    if task.vital or task.state == "overdue":
        return Kind.VITAL if task.vital else Kind.LATE
    return Kind.LAST_DAY if comes_again(household, on, task) else Kind.LAST_CHANCE


@settings(max_examples=250)
@given(books(), st.integers(0, 20), st.sampled_from([None, "noor", "tam"]), st.integers(1, 60))
def test_pick_of_a_day_is_the_best_by_the_rule(
    household: Household, offset: int, person: str | None, minutes: int
) -> None:
    on = day("2026-03-01") + offset
    answer = due(household, on, Scope(person), minutes)
    gone = (one.task for one in answer.let_go)
    tasks = [*answer.late, *answer.today, *answer.waiting, *gone, *answer.may_wait]
    places = range(len(tasks))
    some = [
        Candidate(
            (task.left or 0) * (1 if person else task.shares),
            kind_of(household, on, task),
            max(1, round(task.lateness * 1_000_000)) if task.state == "overdue" else 0,
        )
        for task in tasks
    ]
    apart = [(one, other) for one in places for other in places if clash(tasks[one], tasks[other])]
    after = [
        (one, other) for one in places for other in places if tasks[other].chore in tasks[one].after
    ]
    best = best_of_all(some, minutes, apart, after)
    assert sorted(map(tasks.index, taken(answer).tasks)) == list(best)
    assert taken(answer).used == sum(some[place].minutes for place in best)

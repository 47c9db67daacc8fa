"""Week: seven days, each task of the week on one of them, and what may wait beyond."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from books import day, house, iso
from hypothesis import given
from hypothesis import strategies as st
from plain_likely import plain_range

from ledger.calendar.week import week_first
from ledger.homes import read_household
from ledger.household.model import Household
from ledger.keeping.history import timelines
from ledger.render.week_text import week_text
from ledger.report.due import Due, due
from ledger.report.scope import Scope
from ledger.report.task import Task
from ledger.report.week import Week, WeekDay, week
from ledger.text.source import Source
from ledger.workspace import read_sources

EXAMPLE = Path(__file__).parents[1] / "examples" / "quarry-lane"
MONDAY, WEDNESDAY = "2026-03-02", "2026-03-04"


def laid_out(*lines: str, on: str = WEDNESDAY, since: str = "2026-01-01") -> Week:
    """The week of a day by a book of some lines, which begins with the year if not said else."""
    return week(house(f"since {since}", *lines), day(on))


def laid_out_on_monday(*lines: str) -> Week:
    """The week of a book that begins with it, as it is laid out on its first day."""
    return laid_out(*lines, on=MONDAY, since=MONDAY)


def board(answer: Week) -> dict[str, list[str]]:
    """The chores of each day that has any, by date."""
    return {
        one.day.isoformat(): [task.chore for task in one.tasks] for one in answer.days if one.tasks
    }


def states(answer: Week) -> dict[str, list[tuple[str, str]]]:
    return {
        one.day.isoformat(): [(task.chore, task.state) for task in one.tasks]
        for one in answer.days
        if one.tasks
    }


def on_day(answer: Week, text: str) -> WeekDay:
    return next(one for one in answer.days if one.day.isoformat() == text)


# ------------------------------------------------------------------------------ which days


@pytest.mark.parametrize(
    ("starts", "first"),
    [("monday", "2026-03-02"), ("sunday", "2026-03-01"), ("wednesday", "2026-03-04"),
     ("thursday", "2026-02-26")],
)  # fmt: skip
def test_week_begins_as_the_book_says(starts: str, first: str) -> None:
    answer = laid_out(f"week starts {starts}", "every week", "  plan  5 min")
    assert answer.days[0].day.isoformat() == first
    days = [one.day for one in answer.days]
    assert days == [days[0] + timedelta(days=n) for n in range(7)]
    assert board(answer) == {WEDNESDAY: ["plan"]}


def test_day_asked_about_is_marked_and_no_other() -> None:
    text = week_text(laid_out("every day", "  cups  5 min"))
    assert [line for line in text.splitlines() if "this day" in line] == [
        "Wednesday 4 March (this day)".ljust(75) + "5 min"
    ]


def test_book_that_begins_with_the_day_has_nothing_before_it() -> None:
    today = day("2026-03-06")
    answer = week(house("every day", "  cups  5 min").on(today), today)
    assert list(board(answer)) == ["2026-03-06", "2026-03-07", "2026-03-08"]


# -------------------------------------------------------------------- what became of the past


def test_past_days_say_what_was_done_skipped_and_missed() -> None:
    answer = laid_out("every day", "  cups  5 min", "2026-03-02 did cups",
                      "2026-03-04 skipped cups")  # fmt: skip
    assert states(answer) == {
        "2026-03-02": [("cups", "done")],
        "2026-03-03": [("cups", "missed")],
        "2026-03-04": [("cups", "skipped")],
        **{f"2026-03-0{n}": [("cups", "due")] for n in range(5, 9)},
    }


def test_what_is_late_has_coming_days_the_latest_for_its_kind_first() -> None:
    answer = laid_out("every monday", "  vacuum  9 min", "weekend 4", "  sheets  9 min")
    assert states(answer) == {
        WEDNESDAY: [("vacuum", "overdue")],
        "2026-03-05": [("sheets", "overdue")],
    }
    text = week_text(answer)
    assert "2 days late" in text
    assert "3 days late" in text


def test_work_done_late_or_early_stands_where_it_was_done_without_its_container() -> None:
    answer = laid_out("every monday", "  vacuum  9 min", "every friday", "  bins  4 min",
                      "2026-02-23 did vacuum", "2026-02-27 did bins",
                      "2026-03-03 did vacuum", "2026-03-04 did bins")  # fmt: skip
    assert board(answer) == {"2026-03-03": ["vacuum"], WEDNESDAY: ["bins"]}
    assert [one.containers for one in answer.days] == [()] * 7
    text = week_text(answer)
    assert "Tue 3 Mar  9 min    9 min  1 done\n" in text
    assert "bins  4 min  done 2 days early\n" in text


def test_lines_after_the_day_are_not_known_on_it() -> None:
    answer = laid_out("every friday", "  bins  4 min", "2026-02-27 did bins", "2026-03-06 did bins")
    assert states(answer) == {"2026-03-06": [("bins", "due")]}


def test_own_shares_are_told_apart_by_what_became_of_them() -> None:
    answer = laid_out("person noor", "person tam", "every wednesday", "  beds  5 min  by each",
                      "2026-03-04 did beds by tam")  # fmt: skip
    tasks = on_day(answer, WEDNESDAY).tasks
    assert sorted((task.people, task.state) for task in tasks) == [
        (("noor",), "due"),
        (("tam",), "done"),
    ]
    assert on_day(answer, WEDNESDAY).minutes == answer.minutes == 10


def test_moved_chore_stands_on_its_new_day() -> None:
    answer = laid_out("every monday", "  vacuum  9 min", "2026-02-23 did vacuum",
                      "2026-03-02 moved vacuum to 2026-03-05")  # fmt: skip
    assert states(answer) == {"2026-03-05": [("vacuum", "due")]}


@pytest.mark.parametrize(
    ("record", "on", "state"),
    [
        ((), WEDNESDAY, "due"),
        ((), "2026-03-06", "overdue"),
        (("2026-03-05 did bins",), "2026-03-06", "done"),
        (("2026-03-06 skipped bins",), "2026-03-06", "skipped"),
    ],
)
def test_chore_that_was_moved_keeps_its_turn(record: tuple[str, ...], on: str, state: str) -> None:
    """The turn goes by the days before the move: by the 5th one window more has closed."""
    book = ("person noor", "person tam", "every monday", "  bins  5 min  by noor then tam",
            "2026-02-23 did bins", "2026-03-02 moved bins to 2026-03-05", *record)  # fmt: skip
    answer = laid_out(*book, on=on, since="2026-02-23")
    (task,) = placed(answer)
    assert (task.state, task.people) == (state, ("tam",))


def test_chore_counted_from_its_last_doing_comes_so_many_days_later() -> None:
    answer = laid_out("5 days after done", "  litter  4 min", "2026-03-03 did litter")
    assert states(answer) == {"2026-03-03": [("litter", "done")], "2026-03-08": [("litter", "due")]}


def test_every_time_in_the_week_that_such_a_chore_was_done_stands_on_its_day() -> None:
    answer = laid_out("2 days after done", "  litter  4 min", "2026-02-27 did litter",
                      "2026-03-02 did litter", "2026-03-04 did litter")  # fmt: skip
    assert states(answer) == {
        "2026-03-02": [("litter", "done")],
        WEDNESDAY: [("litter", "done")],
        "2026-03-06": [("litter", "due")],
        "2026-03-08": [("litter", "due")],
    }
    assert [task.expected for task in placed(answer)] == [False, False, False, True]
    assert answer.minutes == 16
    assert "  litter  4 min  expected\n" in week_text(answer)
    assert "Mon 2 Mar  4 min    4 min  1 done\n" in week_text(answer)


def test_nothing_is_owed_while_all_are_away_nor_after_it() -> None:
    book = ("away 2026-03-01 to 2026-03-03", "every day", "  cups  3 min")
    answer = laid_out(*book, on="2026-03-03")
    assert board(answer) == {f"2026-03-0{n}": ["cups"] for n in range(4, 9)}
    assert "late" not in week_text(answer)


@pytest.mark.parametrize("rest", ["", " by noor"])
def test_what_is_left_over_stands_on_the_next_day_on_which_it_is_asked(rest: str) -> None:
    """What was for Sunday the 1st: on the 4th someone is there again, or its next window opens."""
    book = ("person noor", f"rest 2026-03-02 to 2026-03-03{rest}", "every month on 1, 5",
            "  post  3 min  by noor", "every month on 1, 4", "  bins  4 min  by noor")  # fmt: skip
    answer = laid_out(*book, on="2026-03-03")
    assert {when: chores for when, chores in board(answer).items() if when < "2026-03-05"} == {
        WEDNESDAY: ["post", "bins"]
    }
    assert states(answer)[WEDNESDAY] == [("post", "due"), ("bins", "due")]
    assert week_text(answer).count("late") == 0


def test_line_counted_from_the_last_doing_waits_for_its_first_day() -> None:
    book = ("10 days after done from 2026-03-05", "  x  12 min", "2026-02-23 did x")
    assert states(laid_out(*book, on="2026-03-03")) == {"2026-03-05": [("x", "due")]}
    assert states(laid_out(*book, on="2026-03-11")) == {"2026-03-11": [("x", "overdue")]}


def test_chore_counted_from_its_last_doing_that_is_late_stands_on_the_day() -> None:
    answer = laid_out("5 days after done", "  litter  4 min", "2026-02-24 did litter")
    assert states(answer) == {WEDNESDAY: [("litter", "overdue")]}


def test_moved_chore_counted_from_its_last_doing_stands_on_its_new_day() -> None:
    answer = laid_out("3 days after done", "  litter  4 min", "2026-03-02 did litter",
                      "2026-03-03 moved litter to 2026-03-07")  # fmt: skip
    assert states(answer) == {"2026-03-02": [("litter", "done")], "2026-03-07": [("litter", "due")]}


# ------------------------------------------------------------------------- which day has room


def test_window_of_several_days_goes_where_it_fits_a_limit() -> None:
    answer = laid_out_on_monday(
        "limit weekday 30 min", "limit weekend 10 min", "limit friday 60 min",
        "every friday", "  shop  25 min", "every week", "  plan  35 min",
    )  # fmt: skip
    assert board(answer) == {"2026-03-06": ["shop", "plan"]}


def test_minutes_already_placed_leave_less_room() -> None:
    answer = laid_out_on_monday("limit weekend 60 min", "every weekend", "  a  30 min",
                                "  b  20 min", "  c  20 min")  # fmt: skip
    assert board(answer) == {"2026-03-07": ["a"], "2026-03-08": ["b", "c"]}


def test_without_limits_the_work_is_spread_evenly() -> None:
    answer = laid_out_on_monday("every weekend", "  a  30 min", "  b  30 min")
    assert board(answer) == {"2026-03-07": ["a"], "2026-03-08": ["b"]}


def test_first_day_is_chosen_among_days_with_equal_room() -> None:
    answer = laid_out("every week", "  plan  10 min")
    assert board(answer) == {WEDNESDAY: ["plan"]}


LONG = ("every month", "  windows  5 min", "every month on 6 within 7 days", "  lamps  5 min")


def test_what_closes_after_the_week_may_have_a_day_of_it() -> None:
    answer = laid_out_on_monday(*LONG)
    assert board(answer) == {MONDAY: ["windows"], "2026-03-06": ["lamps"]}
    assert (answer.minutes, answer.may_wait) == (10, ())


def test_what_the_plan_puts_after_the_week_waits_and_is_on_no_day() -> None:
    answer = laid_out_on_monday("days busy 2026-03-02 to 2026-03-08", "limit busy 0 min", *LONG)
    assert board(answer) == {}
    assert [task.chore for task in answer.may_wait] == ["lamps", "windows"]
    assert answer.minutes == 0
    beyond = week_text(answer).partition("May wait beyond this week\n")[2].partition("\n\n")[0]
    assert [line.split()[0] for line in beyond.splitlines()] == ["lamps", "windows"]
    assert [task.planned for task in answer.may_wait] == [date(2026, 3, 9), date(2026, 3, 10)]
    assert "planned Tue 10 Mar, until Tue 31 Mar" in beyond


def test_window_that_closes_in_the_next_week_comes_on_a_day_of_that_week() -> None:
    lines = ("every month on 6 within 7 days", "  lamps  5 min", "2026-02-10 did lamps")
    assert board(laid_out(*lines, on="2026-03-09")) == {"2026-03-09": ["lamps"]}


def test_chores_of_a_day_stand_behind_those_they_come_after() -> None:
    answer = laid_out("every day", "  mop  1 min  after sweep", "  sweep  1 min")
    assert board(answer)["2026-03-05"] == ["sweep", "mop"]


# ------------------------------------------------------------------------------- what is said


def test_day_says_its_minutes_against_its_limit() -> None:
    answer = laid_out_on_monday("limit weekday 45 min", "every monday, friday", "  oven  1 h",
                                "every thursday", "  cups  20 min")  # fmt: skip
    headings = [
        line for line in week_text(answer).splitlines() if " March " in line and len(line) == 80
    ]
    assert [" ".join(line.split()) for line in headings] == [
        "Monday 2 March (this day) 1 h of 45 min, 15 min over",
        "Tuesday 3 March 0 min of 45 min",
        "Wednesday 4 March 0 min of 45 min",
        "Thursday 5 March 20 min of 45 min",
        "Friday 6 March 1 h of 45 min, 15 min over",
        "Saturday 7 March 0 min",
        "Sunday 8 March 0 min",
    ]
    assert [len(line) for line in headings] == [80] * 7


def test_days_away_say_why_and_hold_nothing() -> None:
    answer = laid_out('away 2026-03-05 to 2026-03-06 "By the sea"', "limit weekday 45 min",
                      "every day", "  cups  5 min", "every week", "  plan  9 min")  # fmt: skip
    assert [one.away for one in answer.days] == [None] * 3 + ["By the sea"] * 2 + [None] * 2
    assert [on_day(answer, f"2026-03-0{n}").limit for n in (4, 5, 6)] == [45, 0, 0]
    assert {"2026-03-05", "2026-03-06"}.isdisjoint(board(answer))
    assert week_text(answer).count("  Away: everyone (By the sea)\n") == 2


def test_cautions_are_of_what_is_still_to_do_in_the_week() -> None:
    answer = laid_out("every tuesday", "  a  1 min  uses lye", "every friday",
                      "  b  1 min  uses ladder, cloth", "2026-03-03 did a", "every month spare",
                      "  c  1 min  uses bleach")  # fmt: skip
    assert [caution.thing for caution in answer.cautions] == ["ladder"]


@pytest.mark.parametrize("on", ["9999-12-20", "9999-12-27", "9999-12-31"])
def test_last_weeks_of_the_calendar_are_laid_out_as_far_as_it_goes(on: str) -> None:
    answer = laid_out("every day", "  cups  5 min", on=on)
    assert answer.days[0].day.isoformat() <= on <= answer.days[-1].day.isoformat()
    assert all(one.tasks for one in answer.days if one.day.isoformat() >= on)


def test_saturday_leaves_what_sunday_finishes_and_the_list_says_so() -> None:
    lines = ("every weekend", "  sheets  15 min", "every week", "  plan  5 min")
    sunday = week_text(laid_out(*lines, on="2026-03-08", since="2026-03-02"))
    assert "  sheets  15 min  left from Sat 7 Mar\n" in sunday
    assert "  plan     5 min\n" in sunday
    saturday = week_text(laid_out(*lines, on="2026-03-07", since="2026-03-02"))
    assert "left from" not in saturday


def test_what_is_left_and_may_wait_says_both() -> None:
    text = week_text(laid_out("every 9 days within 4 days from 2026-03-03", "  lamps  15 min"))
    assert "  lamps  15 min  left from Tue 3 Mar, until Fri 6 Mar\n" in text


def test_what_lies_since_an_earlier_week_is_not_said_to_be_left() -> None:
    text = week_text(
        laid_out("every 9 days within 5 days from 2026-02-28", "  lamps  15 min", on="2026-03-04",
                 since="2026-02-20")
    )  # fmt: skip
    assert "  lamps  15 min\n" in text


def test_day_and_week_say_what_is_left_of_them_and_how_long_it_takes_by_the_record() -> None:
    minutes = dict(enumerate((28, 40, 30, 31, 60), day("2026-02-10")))
    timed = [f"{iso(on)} did oven {one} min" for on, one in minutes.items()]
    answer = laid_out("every day", "  oven  15 min", "  cups  5 min", *timed,
                      "2026-03-04 did cups")  # fmt: skip
    today = on_day(answer, WEDNESDAY)
    assert (today.minutes, today.left, today.likely) == (20, 15, plain_range([[("oven", minutes)]]))
    assert on_day(answer, "2026-03-03").left == 0
    assert answer.left == 15 * 5 + 5 * 4
    assert answer.likely == pytest.approx(plain_range([[("oven", minutes)]] * 5, 20))
    lines = week_text(answer).splitlines()
    assert "  Left to do: 15 min; by the record 29 min to 45 min" in lines
    assert lines[-1] == "Left of this week: 1 h 35 min; by the record 2 h 58 min to 4 h"


def test_day_of_which_nothing_is_done_yet_says_only_what_the_record_has() -> None:
    timed = [f"2026-02-1{n} did oven 20 min" for n in range(5)]
    text = week_text(laid_out("every wednesday", "  oven  15 min", *timed))
    assert "  By the record: about 20 min\n" in text
    assert text.endswith("Left of this week: 15 min; by the record about 20 min\n")


def test_heaviest_day_is_counted_from_the_day_asked_about_on() -> None:
    book = ("every tuesday", "  oven  1 h", "every friday", "  shop  25 min",
            "every week", "  plan  10 min", "  wash  20 min")  # fmt: skip
    answer = laid_out(*book)
    assert (answer.heaviest, answer.heaviest_least) == (60, 60)
    assert board(answer)["2026-03-05"] == ["oven"]
    done = laid_out(*book, "2026-03-03 did oven")
    assert [one.minutes for one in done.days] == [0, 60, 25, 10, 25, 20, 0]
    assert (done.heaviest, done.heaviest_least) == (25, 25)


# ------------------------------------------------------------------------- whose, and where

SHARED = (
    "person noor", "person tam", "limit weekday 45 min", "limit tam 20 min", "area kitchen",
    "area living", "away 2026-03-06 by tam \"At sea\"", "every day",
    "  cups  5 min  in kitchen  by noor or tam", "  beds  2 min  by each",
    "every friday", "  shop  25 min  by noor", "every week", "  dust  7 min  in living, kitchen",
)  # fmt: skip


def scoped(person: str | None = None, area: str | None = None) -> Week:
    household = house(f"since {MONDAY}", *SHARED)
    return week(household, day(MONDAY), Scope(person, area))


def test_week_of_a_person_has_their_own_limit_absence_and_shares() -> None:
    answer = scoped("tam")
    assert {task.chore for one in answer.days for task in one.tasks} == {"cups", "beds", "dust"}
    friday = on_day(answer, "2026-03-06")
    assert (friday.away, friday.limit, friday.minutes) == ("At sea", 0, 0)
    assert [one.limit for one in answer.days] == [20] * 4 + [0] + [20] * 2
    assert (answer.minutes, answer.heaviest_least) == (6 * 5 + 6 * 2 + 7, None)
    text = week_text(answer)
    assert text.startswith("Week of Monday 2 March 2026 to Sunday 8 March 2026, for tam\n")
    # Of what either may do, the plan proposes a fair part to each.
    assert "  cups  5 min  tam (or noor)\n  beds  2 min\n" in text
    assert "  cups  5 min  noor (or tam)  shared\n  beds  2 min\n" in text
    assert "2 min of 20 min; shared: 5 min\n" in text


def test_week_of_an_area_has_no_limit_and_its_own_containers() -> None:
    answer = scoped(area="living")
    assert [one.limit for one in answer.days] == [None] * 7
    assert [one.containers for one in answer.days if one.tasks] == [("every week",)]
    assert (answer.minutes, answer.left, answer.heaviest) == (7, 7, 7)
    assert " 2026, in living\n" in week_text(answer)


def test_person_and_area_together_are_what_is_of_both() -> None:
    answer = scoped("noor", "kitchen")
    assert {task.chore for one in answer.days for task in one.tasks} == {"cups", "dust"}
    assert [one.limit for one in answer.days] == [None] * 7
    assert ", for noor, in kitchen\n" in week_text(answer)


# --------------------------------------------------------------------------- laws of any week

CADENCES = (
    "every day", "every 3 days from 2026-01-02", "every weekday", "every weekend", "weekend 1",
    "every monday", "every tuesday, friday", "every week", "every 2 weeks from 2026-01-05",
    "every month", "every month on 4, last", "every month on first saturday within 9 days",
    "every march", "3 days after done", "6 days after done within 3 days",
    "once from 2026-03-01 to 2026-03-05",
)  # fmt: skip
PEOPLE = ("by each", "by noor then tam", "by noor or tam", "by tam", "")
DAYS = st.integers(day("2026-02-16"), day("2026-03-22"))


@st.composite
def books(draw: st.DrawFn, with_record: bool = True) -> tuple[str, ...]:
    """The lines of a book with a few chores, and if wanted a record of some weeks of 2026."""
    head = [
        "since 2026-01-01", "person noor", "person tam",
        f"week starts {draw(st.sampled_from(['monday', 'sunday', 'thursday']))}",
        *draw(st.sampled_from([[], ["limit weekday 30 min"], ["limit weekend 0 min"]])),
        *draw(st.sampled_from([[], ["away 2026-03-03 to 2026-03-05"], ["away 2026-03-06 by tam"]])),
    ]  # fmt: skip
    count = draw(st.integers(1, 5))
    for n in range(count):
        minutes, who = draw(st.integers(1, 90)), draw(st.sampled_from(PEOPLE))
        head += [draw(st.sampled_from(CADENCES)), f"  c{n}  {minutes} min  {who}"]
    for _ in range(draw(st.integers(0, 8)) if with_record else 0):
        date, chore = iso(draw(DAYS)), f"c{draw(st.integers(0, count - 1))}"
        said = draw(st.sampled_from(["did {}", "did {} by tam", "skipped {}", "moved {} to "]))
        to = iso(draw(DAYS)) if "moved" in said else ""
        head.append(f"{date} {said.format(chore)}{to}")
    return tuple(head)


def all_open(asked: Due) -> list[Task]:
    """All that stands open on a day, whenever it is planned."""
    let_go = (one.task for one in asked.let_go)
    return [*asked.late, *asked.today, *asked.may_wait, *asked.waiting, *let_go]


Share = tuple[str, str, str, str]


def shares(tasks: Iterable[Task]) -> list[Share]:
    """The windows that tasks stand for, a person's own apart."""
    return [
        (task.chore, person, task.first.isoformat(), task.last.isoformat())
        for task in tasks
        for person in (task.people if task.each else ("",))
    ]


def placed(answer: Week) -> list[Task]:
    return [task for one in answer.days for task in one.tasks]


@given(books(), DAYS)
def test_every_window_stands_on_one_day_at_most(book: tuple[str, ...], on: int) -> None:
    household = house(*book)
    answer = week(household, on)
    times = Counter(shares([*placed(answer), *answer.may_wait]))
    assert [share for share, number in times.items() if number > 1] == []


@given(books(), DAYS)
def test_minutes_of_the_days_are_the_minutes_of_their_tasks(book: tuple[str, ...], on: int) -> None:
    household = house(*book)
    answer = week(household, on)
    declared = {name: chore.routines[0].minutes for name, chore in household.chores.items()}
    for one in answer.days:
        assert one.minutes == sum(declared[name] or 0 for name, *_ in shares(one.tasks))
    assert answer.minutes == sum(one.minutes for one in answer.days)


@given(books(), DAYS)
def test_day_of_a_task_follows_from_what_became_of_it(book: tuple[str, ...], on: int) -> None:
    for one in week(house(*book), on).days:
        for task in one.tasks:
            when = one.day.toordinal()
            if task.state in ("done", "skipped"):
                assert task.settled == one.day <= one.day.fromordinal(on)
            elif task.state == "overdue":
                assert on <= when
                assert task.planned == one.day
                assert task.last.toordinal() < on
            elif task.state == "missed":
                assert task.last == one.day < one.day.fromordinal(on)
            else:
                assert on <= when
                assert task.planned == one.day
                assert task.first <= one.day <= task.last


@given(books(), DAYS)
def test_all_that_the_day_asks_for_is_in_its_week(book: tuple[str, ...], on: int) -> None:
    household = house(*book)
    asked, answer = due(household, on), week(household, on)
    in_week = set(shares([*placed(answer), *answer.may_wait]))
    assert set(shares(all_open(asked))) <= in_week


@given(books(with_record=False), DAYS)
def test_every_calendar_window_of_the_week_is_in_it(book: tuple[str, ...], on: int) -> None:
    household = house(*book)
    answer = week(household, on)
    first = week_first(on, household.week_start)
    windows = {
        (chore.name, timeline.person or "", iso(window.first), iso(window.last))
        for chore in household.chores.values()
        for timeline in timelines(household, chore)
        for window in timeline.between(first, first + 6)
        if not window.excused
    }
    assert windows <= set(shares([*placed(answer), *answer.may_wait]))


@given(books(), DAYS, st.sampled_from(["noor", "tam"]))
def test_task_of_a_person_stands_on_the_same_day_as_in_the_week_of_all(
    book: tuple[str, ...], on: int, person: str
) -> None:
    household = house(*book)
    whole, own = week(household, on), week(household, on, Scope(person))
    for everybody, one in zip(whole.days, own.days, strict=True):
        theirs = [
            (task.chore, task.first)
            for task in everybody.tasks
            if person in (task.done_by or task.people or (person,))
        ]
        assert [(task.chore, task.first) for task in one.tasks] == theirs
        assert all(task.people == (person,) for task in one.tasks if task.each)


@given(books(), DAYS)
def test_least_heaviest_day_is_no_heavier_than_the_heaviest(book: tuple[str, ...], on: int) -> None:
    answer = week(house(*book), on)
    assert answer.heaviest_least is not None
    assert answer.heaviest_least <= answer.heaviest
    from_on = [one.minutes for one in answer.days if one.day >= answer.on]
    assert answer.heaviest == max(from_on)


Listed = tuple[str, tuple[str, ...], str, date, date, str | None]


def listed(tasks: Iterable[Task]) -> list[Listed]:
    """What tells tasks from each other, in order."""
    return sorted(
        (task.chore, task.people, task.state, task.first, task.last, task.proposed)
        for task in tasks
    )


@pytest.mark.parametrize("on", range(day("2026-01-01"), day("2026-11-26"), 9))
def test_week_and_day_agree_on_all_that_stands_open(on: int) -> None:
    household = read_household([EXAMPLE]).household
    asked, laid = due(household, on), week(household, on)
    open_now = (
        task
        for task in (*placed(laid), *laid.may_wait)
        if task.is_open and task.first.toordinal() <= on
        if task.next_asked == date.fromordinal(on)
    )
    assert listed(open_now) == listed(all_open(asked))


def example_up_to(on: int) -> Household:
    """The example on a day, without the lines that its record has after it, and without what hangs
    on the day on which it was done."""
    sources = [
        Source(path.name, "".join(_lines_up_to(path.read_text("utf-8"), iso(on))))
        for path in sorted(EXAMPLE.glob("*.chores"))
    ]
    return read_sources(sources).on(on).household


def _lines_up_to(text: str, date: str) -> Iterator[str]:
    for line in text.splitlines(keepends=True):
        if not line.startswith("20") or line[:10] <= date:
            yield re.sub(r"^\d+ days after done", "50 days after done", line)


@pytest.mark.parametrize("on", range(day("2026-01-01"), day("2026-11-26"), 27))
def test_week_and_list_agree_on_every_day_to_come_on_what_is_to_be_done(on: int) -> None:
    household = example_up_to(on)
    for one in week(household, on).days:
        if one.day.toordinal() >= on:
            asked = due(household, one.day.toordinal())
            to_do = (task for task in one.tasks if task.is_open)
            assert sorted(shares((*asked.late, *asked.today))) == sorted(shares(to_do))
            assert (asked.minutes, asked.shared_minutes) == (one.left, one.shared_minutes)

"""Due: what a day asks for, in which order, of whom, for how long, and what to mind."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from books import day, house

from ledger.household.things import HAZARDS, LAST_WORD
from ledger.render.due_text import due_text
from ledger.report.due import Due, due
from ledger.report.task import Task

WEDNESDAY = "2026-03-04"
SINCE = "since 2026-01-01"


def asked(*lines: str, on: str = WEDNESDAY) -> Due:
    """What a day asks for by a book of some lines that begins with the year 2026."""
    return due(house(SINCE, *lines), day(on), day(on))


def names(tasks: Sequence[Task]) -> list[str]:
    return [task.chore for task in tasks]


def people(task: Task) -> tuple[bool, tuple[str, ...]]:
    """Whether each does it, and who."""
    return task.each, task.people


# ---------------------------------------------------------------------- which list, which order


def test_chore_stands_in_one_list_by_its_window() -> None:
    answer = asked(
        "every wednesday", "  wipe  5 min", "every week", "  plan  7 min", "every tuesday",
        "  bins  3 min", "every friday", "  shop  9 min", "every day", "  cups  2 min",
        "2026-02-27 did shop", "2026-03-04 did cups",
    )  # fmt: skip
    assert names(answer.late) == ["bins"]
    assert names(answer.today) == ["wipe"]
    assert names(answer.waiting) == ["plan"]
    assert names(answer.done) == ["cups"]


def test_containers_are_those_of_open_windows_in_the_order_of_the_book() -> None:
    answer = asked(
        'every day "Evening tin"', "  wash-up  5 min", "  sweep  5 min", "every monday",
        "  vacuum  9 min", "every week", "  plan  5 min", "every wednesday", "  wipe  5 min",
        'every day "Morning tin"', "  beds  5 min", "2026-03-04 did wipe",
    )  # fmt: skip
    assert names(answer.late) == ["vacuum"]
    assert answer.containers == ("Evening tin", "every week", "Morning tin")
    assert "Take out: Evening tin; every week; Morning tin\n" in due_text(answer)


def test_latest_for_its_kind_comes_first() -> None:
    answer = asked(
        "every january", "  yearly  5 min", "every 3 days from 2026-02-28", "  third  5 min",
        "every monday", "  weekly  5 min",
    )  # fmt: skip
    assert [(task.chore, task.days_late) for task in answer.late] == [
        ("third", 1),
        ("weekly", 2),
        ("yearly", 32),
    ]
    assert [task.lateness for task in answer.late] == [1 / 3, 2 / 7, 32 / 365.25]


def test_equally_late_chores_keep_the_order_of_the_book() -> None:
    answer = asked("every monday", "  b  1 min", "  c  1 min", "  a  1 min")
    assert names(answer.late) == ["b", "c", "a"]


def test_chore_is_late_until_its_next_window_opens_and_owed_once() -> None:
    book = ["every monday", "  vacuum  9 min"]
    assert names(asked(*book, on="2026-03-08").late) == ["vacuum"]
    monday = asked(*book, on="2026-03-09")
    assert (names(monday.late), names(monday.today)) == ([], ["vacuum"])


def test_what_closes_first_stands_first_among_what_may_wait() -> None:
    answer = asked(
        "every month", "  windows  5 min", "every week", "  plan  5 min",
        "once from 2026-03-01 to 2026-03-05", "  tree  5 min",
    )  # fmt: skip
    assert names(answer.waiting) == ["tree", "plan", "windows"]
    assert "until Thu 5 Mar" in due_text(answer)


def test_last_day_of_a_window_is_its_day() -> None:
    book = ["every weekend", "  sheets  15 min"]
    saturday, sunday = asked(*book, on="2026-03-07"), asked(*book, on="2026-03-08")
    assert (names(saturday.today), names(saturday.waiting)) == ([], ["sheets"])
    assert (names(sunday.today), names(sunday.waiting)) == (["sheets"], [])


def test_done_list_holds_what_was_settled_on_the_day_itself() -> None:
    answer = asked(
        "every week", "  plan  5 min", "  wash  5 min", "  shop  5 min", "every monday",
        "  vacuum  9 min", "2026-03-03 did plan", "2026-03-04 did wash, vacuum",
        '2026-03-04 skipped shop "nothing needed"', "2026-03-05 did plan",
    )  # fmt: skip
    assert [(task.chore, task.state) for task in answer.done] == [
        ("wash", "done"),
        ("shop", "skipped"),
        ("vacuum", "done"),
    ]
    assert (answer.late, answer.today, answer.waiting) == ((), (), ())
    assert "Nothing is left for this day." in due_text(answer)


def test_done_list_holds_what_was_done_ahead_of_its_window() -> None:
    answer = asked("every thursday", "  bins  3 min", "2026-02-26 did bins", "2026-03-04 did bins")
    assert names(answer.done) == ["bins"]


def test_lines_after_the_day_are_not_known_on_it() -> None:
    answer = asked("every wednesday", "  wipe  5 min", "2026-03-05 did wipe")
    assert names(answer.today) == ["wipe"]


def test_moved_chore_stands_on_its_new_day() -> None:
    book = ["every monday", "  vacuum  9 min", "2026-03-02 moved vacuum to 2026-03-04"]
    assert names(asked(*book, on="2026-03-03").today) == []
    assert names(asked(*book).today) == ["vacuum"]
    assert [(t.chore, t.days_late) for t in asked(*book, on="2026-03-05").late] == [("vacuum", 1)]


def test_nothing_is_late_on_the_first_day_of_a_book() -> None:
    household = house("every monday", "  vacuum  9 min", "every wednesday", "  wipe  5 min")
    answer = due(household, day(WEDNESDAY), day(WEDNESDAY))
    assert (names(answer.late), names(answer.today)) == ([], ["wipe"])


def test_paused_chores_and_sections_ask_for_nothing() -> None:
    answer = asked("every day", "  a  1 min  paused", "paused every day", "  b  1 min")
    assert (answer.today, answer.containers) == ((), ())


# ------------------------------------------------------------------------------ `after` and done


def test_chore_comes_behind_what_it_is_done_after() -> None:
    answer = asked("every day", "  mop  1 min  after vacuum, sweep", "  sweep  1 min",
                   "  cups  1 min", "  vacuum  1 min  after sweep")  # fmt: skip
    assert names(answer.today) == ["sweep", "vacuum", "mop", "cups"]


def test_what_a_chore_is_done_after_need_not_be_on_the_list() -> None:
    answer = asked("every day", "  mop  1 min  after vacuum", "every friday", "  vacuum  1 min",
                   on="2026-01-01")  # fmt: skip
    assert names(answer.today) == ["mop"]


@pytest.mark.parametrize(
    "lines",
    [
        ("  a  1 min  after a",),
        ("  a  1 min  after b", "  b  1 min  after a"),
        tuple(f"  c{n}  1 min  after c{(n + 1) % 40}, c{(n + 7) % 40}" for n in range(40)),
    ],
)
def test_circle_of_chores_after_one_another_loses_none(lines: tuple[str, ...]) -> None:
    answer = asked("every day", *lines)
    assert sorted(names(answer.today)) == sorted(line.split()[0] for line in lines)


@pytest.mark.parametrize(
    ("on", "state"),
    [
        ("2026-03-03", []),
        ("2026-03-04", ["today"]),
        ("2026-03-05", ["late"]),
        ("2026-04-30", ["late"]),
    ],
)
def test_chore_counted_from_its_last_doing_comes_so_many_days_after_it(
    on: str, state: list[str]
) -> None:
    answer = asked("14 days after done", "  fridge  15 min", "2026-02-18 did fridge", on=on)
    assert [key for key in ("late", "today", "waiting") if getattr(answer, key)] == state


def test_chore_counted_from_its_last_doing_may_wait_within_its_days() -> None:
    book = ["3 days after done within 2 days", "  litter  4 min", "2026-03-01 did litter"]
    assert names(asked(*book).waiting) == ["litter"]
    assert names(asked(*book, on="2026-03-05").today) == ["litter"]
    late = asked(*book, on="2026-03-06").late
    assert [(task.chore, task.days_late, task.lateness) for task in late] == [("litter", 1, 1 / 3)]


# ------------------------------------------------------------------------------------- minutes


def test_total_is_of_what_is_late_and_of_the_day_and_not_of_what_may_wait() -> None:
    answer = asked(
        "limit weekday 45 min", "every monday", "  vacuum  10 min", "every day", "  cups  20 min",
        "  beds", "every week", "  plan  7 min", "  wash  8 min",
    )  # fmt: skip
    assert (answer.minutes, answer.waiting_minutes, answer.limit) == (30, 15, 45)
    text = due_text(answer)
    assert "To do: 30 min of 45 min\n" in text
    assert "May wait: 15 min" in text


def test_total_says_by_how_much_it_is_over_the_limit() -> None:
    text = due_text(asked("limit weekday 45 min", "every day", "  oven  1 h 30 min"))
    assert "To do: 1 h 30 min of 45 min, 45 min over\n" in text


@pytest.mark.parametrize(
    ("lines", "on", "limit"),
    [
        ((), WEDNESDAY, None),
        (("limit weekend 1 h",), WEDNESDAY, None),
        (("limit weekday 45 min",), WEDNESDAY, 45),
        (("limit wednesday 10 min", "limit weekday 45 min"), WEDNESDAY, 10),
        (("limit weekend 1 h", "limit saturday 2 h"), "2026-03-07", 120),
        (("limit weekend 1 h", "limit saturday 2 h"), "2026-03-08", 60),
        (("weekend is wednesday, thursday", "limit weekend 1 h"), WEDNESDAY, 60),
        (("person edie", "limit edie 5 min"), WEDNESDAY, None),
    ],
)
def test_limit_is_of_the_name_of_the_day_before_its_kind(
    lines: tuple[str, ...], on: str, limit: int | None
) -> None:
    assert asked(*lines, on=on).limit == limit


def test_everyones_own_minutes_count_once_a_person() -> None:
    answer = asked("person noor", "person tam", "every day", "  beds  5 min  by each")
    assert (answer.today[0].minutes, answer.minutes) == (5, 10)


TIMED = [f"2026-02-{n} did oven {minutes} min" for n, minutes in enumerate((28, 40, 30, 31), 10)]


def test_learned_minutes_stand_beside_the_declared_from_five_timed_lines_on() -> None:
    book = ["every day", "  oven  15 min", *TIMED]
    four = asked(*book)
    assert (four.today[0].lately, four.minutes, four.likely) == (None, 15, 15)
    five = asked(*book, "2026-02-14 did oven 1 h")
    assert (five.today[0].lately, five.minutes, five.likely) == (31, 15, 31)
    text = due_text(five)
    assert "lately 31 min" in text
    assert "To do: 15 min\nBy the record: about 31 min\n" in text


def test_learned_minutes_near_the_declared_are_not_worth_a_word() -> None:
    answer = asked("every day", "  oven  30 min", *TIMED, "2026-02-14 did oven 1 h")
    assert (answer.today[0].lately, answer.likely) == (None, 30)
    assert "lately" not in due_text(answer)


def test_learned_minutes_stand_in_for_minutes_that_nobody_declared() -> None:
    answer = asked("every day", "  oven", *TIMED, "2026-02-14 did oven 1 h")
    assert (answer.today[0].minutes, answer.today[0].lately) == (None, 31)
    assert (answer.minutes, answer.likely) == (0, 31)
    assert "  oven  -  lately 31 min\n" in due_text(answer)


# ---------------------------------------------------------------------------- people, away, things

PEOPLE = ("person noor", "person tam", "person edie")


def test_each_then_or_and_anyone_are_told_apart() -> None:
    answer = asked(
        *PEOPLE, "every day", "  beds  1 min  by each", "  wash  1 min  by noor then tam",
        "  lunch  1 min  by tam or edie", "  cups  1 min  by edie", "  sweep  1 min",
    )  # fmt: skip
    assert [people(task) for task in answer.today] == [
        (True, ("noor", "tam", "edie")),
        (False, ("noor",)),
        (False, ("tam", "edie")),
        (False, ("edie",)),
        (False, ()),
    ]
    text = due_text(answer)
    assert "beds   1 min  noor, tam, edie\n" in text
    assert "lunch  1 min  tam or edie\n" in text


def test_turns_change_with_each_window() -> None:
    book = [*PEOPLE, "every day", "  wash  1 min  by noor then tam then edie"]
    who = [asked(*book, on=f"2026-01-0{n}").today[0].people for n in range(1, 5)]
    assert who == [("noor",), ("tam",), ("edie",), ("noor",)]


def test_own_shares_that_stand_alike_are_one_task_and_others_are_not() -> None:
    answer = asked(*PEOPLE, "every day", "  beds  5 min  by each", "2026-03-04 did beds by tam")
    assert [people(task) for task in answer.today] == [(True, ("noor", "edie"))]
    assert [people(task) for task in answer.done] == [(True, ("tam",))]
    assert answer.minutes == 10


def test_done_task_names_those_who_did_it() -> None:
    answer = asked(
        *PEOPLE, "every day", "  lunch  1 min  by noor or tam", "  wash  1 min  by noor then tam",
        "  sweep  1 min", "2026-03-04 did lunch by tam", "2026-03-04 did wash, sweep by tam, edie",
    )  # fmt: skip
    assert [task.done_by for task in answer.done] == [("tam",), ("tam", "edie"), ("tam", "edie")]
    assert "sweep  1 min  tam, edie\n" in due_text(answer)


def test_done_task_of_nobody_named_is_said_of_nobody() -> None:
    answer = asked(*PEOPLE, "every day", "  lunch  1 min  by noor or tam", "2026-03-04 did lunch")
    assert "lunch  1 min  noor, tam" not in due_text(answer)


def test_day_away_says_why_and_asks_for_nothing() -> None:
    book = ['away 2026-03-02 to 2026-03-04 "By the sea"', "limit weekday 45 min", "every day",
            "  cups  5 min", "every week", "  plan  5 min", "2026-03-01 did plan"]  # fmt: skip
    answer = asked(*book)
    assert (answer.away, answer.limit) == ("By the sea", 0)
    assert (answer.late, answer.today, answer.waiting) == ((), (), ())
    assert due_text(answer).splitlines()[1] == "Away: By the sea"
    home = asked(*book, on="2026-03-05")
    assert home.away is None
    assert (names(home.late), names(home.today), names(home.waiting)) == ([], ["cups"], ["plan"])


def test_day_away_without_a_reason_is_away_all_the_same() -> None:
    answer = asked("away 2026-03-04", "every day", "  cups  5 min")
    assert answer.away == ""
    assert due_text(answer).splitlines()[1] == "Away"


def test_one_person_away_takes_only_their_own_share() -> None:
    book = [*PEOPLE, "away 2026-03-04 by tam", "every day", "  beds  5 min  by each"]
    answer = asked(*book)
    assert answer.away is None
    assert [people(task) for task in answer.today] == [(True, ("noor", "edie"))]


def test_cautions_name_thing_source_and_the_last_word_once() -> None:
    answer = asked("every day", "  oven  5 min  uses lye, gloves", "  bins  5 min  uses bleach",
                   "every week", "  lamps  5 min  uses ladder, lye")  # fmt: skip
    assert [caution.thing for caution in answer.cautions] == ["lye", "bleach", "ladder"]
    words = " ".join(due_text(answer).split())
    for thing in ("lye", "bleach", "ladder"):
        assert f"{thing} {HAZARDS[thing].caution} [{HAZARDS[thing].source}]" in words
    assert words.endswith(LAST_WORD)
    assert words.count(LAST_WORD) == 1


def test_things_of_what_is_done_and_things_that_cannot_hurt_bring_no_caution() -> None:
    answer = asked("every day", "  oven  5 min  uses lye", "  mop  5 min  uses bucket",
                   "2026-03-04 did oven")  # fmt: skip
    assert answer.cautions == ()
    assert "Mind" not in due_text(answer)

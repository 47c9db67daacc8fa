"""Due: what a day asks for, in which order, of whom, for how long, and what to mind."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import pytest
from books import day, house, iso
from hypothesis import given
from hypothesis import strategies as st
from plain_likely import plain_range
from test_cli import besom

from ledger.household.cautions import HAZARDS
from ledger.household.things import LAST_WORD
from ledger.render.due_text import due_text, to_do
from ledger.render.layout import Sheet
from ledger.report.due import Due, due
from ledger.report.scope import Scope
from ledger.report.task import Task

WEDNESDAY = "2026-03-04"
SINCE = "since 2026-01-01"


def asked(*lines: str, on: str = WEDNESDAY) -> Due:
    """What a day asks for by a book of some lines that begins with the year 2026."""
    return due(house(SINCE, *lines), day(on))


def names(tasks: Sequence[Task]) -> list[str]:
    return [task.chore for task in tasks]


def headings(text: str) -> list[str]:
    """The lines of a list that stand above tasks."""
    lines = text.splitlines()
    return [line for line, below in pairwise(lines) if line[:1].strip() and below[:2] == "  "]


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
    assert names(answer.may_wait) == ["plan"]
    assert names(answer.done) == ["cups"]


def test_containers_are_those_of_open_windows_in_the_order_of_the_book() -> None:
    answer = asked(
        'every day "Evening tin"', "  wash-up  5 min", "  sweep  5 min", "every monday",
        "  vacuum  9 min", "every week", "  plan  5 min", "every wednesday", "  wipe  5 min",
        'every day "Morning tin"', "  beds  5 min", "2026-03-04 did wipe",
    )  # fmt: skip
    assert names(answer.waiting) == ["vacuum"]
    # The day's own: of what waits for a later day no container is taken out.
    assert answer.containers == ("Evening tin", "Morning tin")
    # By container in the order of the book; below them what is late, what waits, what is done.
    assert headings(due_text(answer).partition("\nTo do")[0]) == ["Evening tin", "Morning tin"]
    whole = headings(due_text(answer, everything=True))
    tail = ["Late, on a later day", "May wait", "Done"]
    assert whole == ["Evening tin", "Morning tin", *tail]


def test_latest_for_its_kind_comes_first() -> None:
    answer = asked(
        "every january", "  yearly  5 min", "every 3 days from 2026-02-28", "  third  5 min",
        "every monday", "  weekly  5 min",
    )  # fmt: skip
    late = (*answer.late, *answer.waiting)
    assert [(task.chore, task.days_late) for task in late] == [
        ("third", 1),
        ("weekly", 2),
        ("yearly", 32),
    ]
    assert [task.lateness for task in late] == [1 / 3, 2 / 7, 32 / 365.25]
    assert [task.planned and task.planned.isoformat() for task in late] == [
        WEDNESDAY,
        WEDNESDAY,
        "2026-03-05",
    ]


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
        "limit wednesday 0 min", "every month", "  windows  5 min", "every week", "  plan  5 min",
        "once from 2026-03-01 to 2026-03-05", "  tree  5 min",
    )  # fmt: skip
    assert names(answer.may_wait) == ["tree", "plan", "windows"]
    assert "planned Thu 5 Mar, until Thu 5 Mar" in due_text(answer, everything=True)
    assert "May wait: 3 chores, 15 min (--all shows them)\n" in due_text(answer)


def test_day_of_a_window_is_the_one_planned_and_at_the_latest_its_last() -> None:
    book = ["every weekend", "  sheets  15 min"]
    full = ["every saturday", "  shop  20 min", *book]
    for lines, on_saturday in ((book, ["sheets"]), (full, ["shop"])):
        saturday, sunday = asked(*lines, on="2026-03-07"), asked(*lines, on="2026-03-08")
        assert {*names((*saturday.today, *saturday.may_wait))} == {*on_saturday, "sheets"}
        assert names(saturday.today) == on_saturday
        # Saturday did not have it done.
        assert (names(sunday.today), names(sunday.may_wait)) == (["sheets"], [])


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
    assert (answer.late, answer.today, answer.may_wait) == ((), (), ())
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
    answer = due(household.on(day(WEDNESDAY)), day(WEDNESDAY))
    assert (names(answer.late), names(answer.today)) == ([], ["wipe"])


def test_paused_chores_and_sections_ask_for_nothing() -> None:
    answer = asked("every day", "  a  1 min  paused", "every day paused", "  b  1 min")
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
    assert [key for key in ("late", "today", "may_wait") if getattr(answer, key)] == state


def test_chore_counted_from_its_last_doing_may_wait_within_its_days() -> None:
    book = ["3 days after done within 2 days", "  litter  4 min", "2026-03-01 did litter"]
    assert names(asked("limit wednesday 1 min", *book).may_wait) == ["litter"]
    assert names(asked(*book).today) == ["litter"]
    assert names(asked(*book, on="2026-03-05").today) == ["litter"]
    late = asked(*book, on="2026-03-06").late
    assert [(task.chore, task.days_late, task.lateness) for task in late] == [("litter", 1, 1 / 3)]


# ------------------------------------------------------------------------------------- minutes


def test_total_is_of_what_is_late_and_of_the_day_and_not_of_what_may_wait() -> None:
    answer = asked(
        "limit weekday 45 min", "every monday", "  vacuum  10 min", "every day", "  cups  20 min",
        "every week", "  plan  7 min", "  wash  8 min",
    )  # fmt: skip
    assert (answer.minutes, answer.may_wait_minutes, answer.limit) == (30, 15, 45)
    text = due_text(answer)
    assert "To do: 30 min of 45 min\n" in text
    assert "May wait: 2 chores, 15 min (--all shows them)" in text


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
        (("person edie", "limit edie 5 min"), WEDNESDAY, 5),
        (("person edie", "person tam", "limit edie 5 min"), WEDNESDAY, None),
    ],
)
def test_limit_is_of_the_name_of_the_day_before_its_kind(
    lines: tuple[str, ...], on: str, limit: int | None
) -> None:
    assert asked(*lines, on=on).limit == limit


def test_everyones_own_minutes_count_once_a_person() -> None:
    answer = asked("person noor", "person tam", "every day", "  beds  5 min  by each")
    assert (answer.today[0].minutes, answer.minutes) == (5, 10)


OVEN = dict(enumerate((28, 40, 30, 31, 60), 10))
TIMED = [f"2026-02-{n} did oven {minutes} min" for n, minutes in [*OVEN.items()][:4]]
LIKELY = plain_range([[("oven", OVEN)]])


def test_learned_minutes_stand_beside_the_declared_from_five_timed_lines_on() -> None:
    book = ["every day", "  oven  15 min", *TIMED]
    four = asked(*book)
    assert (four.today[0].lately, four.minutes, four.likely) == (None, 15, None)
    assert "By the record" not in due_text(four)
    five = asked(*book, "2026-02-14 did oven 1 h")
    assert (five.today[0].lately, five.minutes, five.likely) == (31, 15, LIKELY)
    text = due_text(five)
    assert "lately 31 min" in text
    assert "To do: 15 min\nBy the record: 29 min to 45 min\n" in text


def test_learned_minutes_near_the_declared_are_not_worth_a_word() -> None:
    answer = asked("every day", "  oven  30 min", *TIMED, "2026-02-14 did oven 1 h")
    assert (answer.today[0].lately, answer.likely) == (None, LIKELY)
    assert "lately" not in due_text(answer)


def test_learned_minutes_stand_in_for_minutes_that_nobody_declared() -> None:
    answer = asked("every day", "  oven", *TIMED, "2026-02-14 did oven 1 h")
    assert (answer.today[0].minutes, answer.today[0].lately) == (None, 31)
    assert (answer.minutes, answer.likely) == (0, LIKELY)
    text = due_text(answer)
    assert "  oven  -  lately 31 min\n" in text
    assert "To do: 1 chore without minutes\nBy the record: 29 min to 45 min\n" in text


def test_chores_without_minutes_are_counted_beside_the_minutes() -> None:
    text = due_text(asked("limit weekday 45 min", "every day", "  cups  20 min", "  a", "  b"))
    assert "To do: 20 min of 45 min, and 2 chores without minutes\n" in text


@given(
    st.lists(st.lists(st.integers(1, 40), min_size=3, max_size=10), min_size=1, max_size=3),
    st.booleans(),
)
def test_likely_minutes_are_the_range_of_all_that_the_timed_lines_allow(
    timed: list[list[int]], by_each: bool
) -> None:
    """Against every total: a chore of fewer than five timed lines counts as declared, and what two
    people each do is drawn twice. No two chores were timed on one day."""
    lines = ["person noor", "person tam", "every day"]
    drawn, fixed = [], 0
    for n, figures in enumerate(timed):
        times = 2 if by_each and n == 0 else 1
        dated = {day("2026-01-01") + 3 * m + n: minutes for m, minutes in enumerate(figures)}
        lines.append(f"  c{n}  15 min{'  by each' if times == 2 else ''}")
        lines += [f"{iso(on)} did c{n} {minutes} min" for on, minutes in dated.items()]
        if len(figures) < 5:
            fixed += 15 * times
        else:
            drawn += [(f"c{n}", dict([*dated.items()][-9:]))] * times
    lines.sort(key=lambda line: line.startswith("2026"))
    assert asked(*lines).likely == (pytest.approx(plain_range([drawn], fixed)) if drawn else None)


def test_likely_minutes_take_in_that_days_are_good_or_bad() -> None:
    """Twenty chores of 10 minutes that are all quick on one day and slow on the next."""
    chores = [f"  c{n}  10 min" for n in range(20)]
    took = [8 if on % 2 else 12 for on in range(60)]
    alike, mixed = (
        [
            f"{iso(day(SINCE[6:]) + on)} did "
            + ", ".join(f"c{n} {took[on + n * step]} min" for n in range(20))
            for on in range(40)
        ]
        for step in (0, 1)
    )
    likely = [asked("every day", *chores, *record).likely for record in (alike, mixed)]
    assert all(likely)
    bad, even = (one.high - one.low for one in likely if one is not None)
    assert 60 < bad < 110
    assert even < 20


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
    assert "beds   3 × 1 min  noor, tam, edie\n" in text
    # Of those who may do it, the plan proposes one.
    assert "lunch      1 min  tam (or edie)\n" in text
    assert "sweep      1 min  noor (or anyone)\n" in text


def test_turns_change_with_each_window() -> None:
    book = [*PEOPLE, "every day", "  wash  1 min  by noor then tam then edie"]
    who = [asked(*book, on=f"2026-01-0{n}").today[0].people for n in range(1, 5)]
    assert who == [("noor",), ("tam",), ("edie",), ("noor",)]


@pytest.mark.parametrize(
    ("on", "state", "whose"),
    [
        ("2026-03-05", "due", "tam"),
        ("2026-03-06", "overdue", "tam"),
        ("2026-03-07", "done", "tam"),
        ("2026-03-09", "due", "noor"),
    ],
)
def test_chore_that_was_moved_keeps_its_turn(on: str, state: str, whose: str) -> None:
    """The turn goes by the days before the move: by the 5th one window more has closed."""
    book = ("since 2026-02-23", *PEOPLE, "every monday", "  bins  5 min  by noor then tam",
            "2026-02-23 did bins", "2026-03-02 moved bins to 2026-03-05",
            "2026-03-07 did bins")  # fmt: skip
    answer = due(house(*book), day(on))
    (task,) = (*answer.late, *answer.today, *answer.done)
    assert (task.state, task.people) == (state, (whose,))


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
    assert "sweep  1 min  tam, edie\n" in due_text(answer, everything=True)
    assert due_text(answer).endswith("Done: 3 chores, 3 min (--all shows them)\n")


def test_done_task_of_nobody_named_is_said_of_nobody() -> None:
    answer = asked(*PEOPLE, "every day", "  lunch  1 min  by noor or tam", "2026-03-04 did lunch")
    assert "lunch  1 min  noor, tam" not in due_text(answer, everything=True)


def test_day_away_says_why_and_asks_for_nothing() -> None:
    book = ['away 2026-03-02 to 2026-03-04 "By the sea"', "limit weekday 45 min", "every day",
            "  cups  5 min", "every week", "  plan  5 min", "2026-03-01 did plan"]  # fmt: skip
    answer = asked(*book)
    assert (answer.away, answer.limit) == ("By the sea", 0)
    assert (answer.late, answer.today, answer.may_wait) == ((), (), ())
    said = ["Away: everyone (By the sea)", "", "Nothing is asked on this day."]
    assert due_text(answer).splitlines()[1:] == said
    home = asked(*book, on="2026-03-05")
    assert home.away is None
    assert (names(home.late), names(home.today)) == ([], ["cups", "plan"])


def test_day_away_without_a_reason_is_away_all_the_same() -> None:
    answer = asked("away 2026-03-04", "every day", "  cups  5 min")
    assert answer.away == ""
    assert due_text(answer).splitlines()[1] == "Away: everyone"


def test_one_person_away_takes_only_their_own_share() -> None:
    book = [*PEOPLE, "away 2026-03-04 by tam", "every day", "  beds  5 min  by each"]
    answer = asked(*book)
    assert answer.away is None
    assert [people(task) for task in answer.today] == [(True, ("noor", "edie"))]


def test_cautions_name_thing_source_and_the_last_word_once() -> None:
    answer = asked("every day", "  oven  5 min  uses lye, gloves", "  bins  5 min  uses bleach",
                   "every week spare", "  lamps  5 min  uses ladder, lye")  # fmt: skip
    assert [caution.thing for caution in answer.cautions] == ["lye", "bleach", "ladder"]
    words = " ".join(due_text(answer).split())
    # What may wait is no work of today's.
    assert words.endswith(
        f"Mind: lye (oven), bleach (bins). {LAST_WORD} More: `besom explain lye`."
    )
    assert "Mind: lye (oven and 1 more), bleach (bins), ladder (lamps). " in " ".join(
        due_text(answer, everything=True).split()
    )
    for thing in ("lye", "bleach", "ladder"):
        more = " ".join(besom("explain", thing).stdout.split())
        for said in (HAZARDS[thing].caution, HAZARDS[thing].source, LAST_WORD):
            assert said in more


def test_things_of_what_is_done_and_things_that_cannot_hurt_bring_no_caution() -> None:
    answer = asked("every day", "  oven  5 min  uses lye", "  mop  5 min  uses bucket",
                   "2026-03-04 did oven")  # fmt: skip
    assert answer.cautions == ()
    assert "Mind" not in due_text(answer)


# -------------------------------------------------------------------------- room for remarks

WIDE = (*PEOPLE, "area kitchen", "area bathroom", "every week")


def test_title_comes_first_and_the_name_only_where_other_words_make_the_title() -> None:
    text = due_text(asked("every day", '  cups  5 min  "Wash the cups"', "  make-beds  5 min",
                          '  top-up  5 min  "Top up"'))  # fmt: skip
    lines = [line.split("  ")[1] for line in text.splitlines() if " min" in line and "  " in line]
    assert lines[:3] == ["Wash the cups (cups)", "make beds", "Top up"]


def test_without_room_for_columns_the_rest_stands_below_the_title() -> None:
    who, name = "noor or tam or edie", "cups-and-plates-and-pans"
    book = (*WIDE, f'  {name}  5 min  in kitchen  by {who}  "A long title of many words"')
    timed = [f"2026-02-{n} did {name} 30 min" for n in range(10, 15)]
    text = due_text(asked(*book, *timed), Sheet(44), everything=True)
    assert (
        "  A long title of many words\n    (cups-and-plates-and-pans)\n"
        "      5 min, noor (or tam or edie),\n      until Sun 8 Mar, lately 30 min\n"
    ) in text


def test_spare_chores_are_listed_only_where_nothing_else_is_left() -> None:
    book = ("every week spare", "  photos  30 min", "every day", "  cups  5 min")
    assert "photos" not in due_text(asked(*book))
    left = asked(*book, "2026-03-04 did cups")
    assert "If there is time\n  photos  30 min  spare, until Sun 8 Mar\n" in due_text(left)
    assert "Nothing is left for this day." in due_text(left)


def test_steps_stand_below_their_chore_where_they_are_asked_for() -> None:
    answer = asked("every day", "  cups  5 min", "    - Wash", "    - Dry", "  oven  9 min")
    assert "  cups  5 min\n      - Wash\n      - Dry\n  oven" in due_text(answer, steps=True)
    assert "Wash" not in due_text(answer)


def test_after_is_kept_across_containers() -> None:
    answer = asked('every day "A"', "  mop  5 min  after sweep", "  dust  5 min",
                   'every day "B"', "  sweep  5 min")  # fmt: skip
    assert names(answer.today) == ["sweep", "mop", "dust"]
    assert headings(due_text(answer)) == ["B", "A"]


def test_what_nobody_is_there_for_is_named_in_one_line() -> None:
    book = (*PEOPLE, "away 2026-03-04 by tam", "rest 2026-03-05", "every day",
            "  cook  5 min  by tam", "  cups  5 min", "every week", "  plan  5 min  by tam",
            "once from 2026-03-02 to 2026-03-03", "  late  5 min  by tam")  # fmt: skip
    answer = asked(*book)
    # What may be done on another day waits for them, and so does what is late.
    assert names(answer.silenced) == ["cook"]
    assert "\nNot asked, as nobody is there to do it: cook\n" in due_text(answer)
    assert asked(*book, on="2026-03-05").silenced == ()
    assert asked(*book, on="2026-03-06").silenced == ()


# --------------------------------------------------------------------------- days to come


def planned(*lines: str, today: str, on: str) -> Due:
    return due(house(SINCE, *lines).on(day(today)), day(on))


def test_list_of_a_day_to_come_takes_all_before_it_as_done() -> None:
    book = (
        "every day", "  cups  5 min", "every monday", "  bins  5 min", "every week",
        "  plan  5 min", "3 days after done", "  litter  5 min", "2026-03-01 did litter",
    )  # fmt: skip
    answer = planned(*book, today=WEDNESDAY, on="2026-03-07")
    # The week's plan has `plan` on Thursday.
    assert (names(answer.late), names(answer.today)) == ([], ["cups", "litter"])
    assert (answer.may_wait, names(planned(*book, today=WEDNESDAY, on="2026-03-05").today)) == (
        (),
        ["cups", "plan"],
    )
    assert str(answer.kept_from) == WEDNESDAY
    text = due_text(answer).splitlines()
    assert text[1:3] == [
        "All that comes before is taken as done.",
        "Take out: every day; 3 days after done",
    ]
    # Today, and days past, go by the record alone.
    today = planned(*book, today=WEDNESDAY, on=WEDNESDAY)
    assert (names(today.late), today.kept_from) == (["bins"], None)
    assert today == due(house(SINCE, *book), day(WEDNESDAY))


def test_what_nobody_could_do_before_a_day_to_come_is_late_on_it() -> None:
    book = ("away 2026-03-04 to 2026-03-05", "every tuesday", "  bins  5 min")
    answer = planned(*book, today=WEDNESDAY, on="2026-03-06")
    assert names(answer.late) == ["bins"]


def test_minutes_as_learned_are_of_no_use_once_a_task_is_done() -> None:
    timed = [f"2026-02-{n} did oven 30 min" for n in range(10, 15)]
    answer = asked("every day", "  oven  5 min", *timed, "2026-03-04 did oven")
    assert (answer.done[0].lately, "lately" in due_text(answer)) == (30, False)


# ------------------------------------------------------------------------- whose, and where

SHARED = (
    *PEOPLE, "limit weekday 45 min", "limit edie 15 min", "area kitchen", "area living",
    "every tuesday", "  bins  4 min  by tam",
    "every day", "  cups  5 min  in kitchen  by noor or tam", "  beds  2 min  by each",
    "  sweep  6 min  in kitchen, living  uses bleach",
    'every day "Desk"', "  post  3 min  by noor  uses ladder",
    "every week", "  dust  7 min  in living",
)  # fmt: skip


def scoped(*more: str, person: str | None = None, area: str | None = None) -> Due:
    household = house(SINCE, *SHARED, *more)
    return due(household, day(WEDNESDAY), Scope(person, area))


def test_list_of_a_person_holds_what_they_may_do_and_their_own_share() -> None:
    answer = scoped(person="edie")
    assert (names(answer.late), names(answer.today)) == ([], ["beds", "sweep"])
    assert names(answer.may_wait) == ["dust"]
    assert people(answer.today[0]) == (True, ("edie",))
    assert (answer.minutes, answer.may_wait_minutes, answer.limit) == (8, 7, 15)
    assert answer.containers == ("every day",)
    assert [caution.thing for caution in answer.cautions] == ["bleach"]
    text = due_text(answer)
    assert text.startswith("Wednesday 4 March 2026, for edie\n")
    # Her own share is hers alone; what anyone may do is shared, and counts against no one's limit.
    assert "  beds   2 min\n" in text
    assert "  sweep  6 min  anyone  shared\n" in text
    assert "To do: 2 min of 15 min; shared: 6 min\n" in text
    assert answer.shared_minutes == 6


def test_person_without_a_limit_of_their_own_has_none() -> None:
    answer = scoped(person="tam")
    assert (names(answer.late), answer.limit) == (["bins"], None)


def test_list_of_an_area_holds_what_is_in_it_and_has_no_limit() -> None:
    answer = scoped(area="living")
    assert (names(answer.today), names(answer.may_wait)) == (["sweep"], ["dust"])
    assert answer.limit is None
    assert (answer.person, answer.area) == (None, "living")
    assert due_text(answer).startswith("Wednesday 4 March 2026, in living\n")


def test_person_and_area_together_are_what_is_of_both() -> None:
    answer = scoped(person="noor", area="kitchen")
    assert names(answer.today) == ["cups", "sweep"]
    assert ", for noor, in kitchen\n" in due_text(answer)


def test_done_list_of_a_person_holds_what_they_did_or_could_have_done() -> None:
    record = ("2026-03-04 did cups by tam", "2026-03-04 did sweep", "2026-03-04 skipped dust",
              "2026-03-04 did beds by tam, edie")  # fmt: skip
    done = {person: scoped(*record, person=person).done for person in ("noor", "tam", "edie")}
    assert {person: names(tasks) for person, tasks in done.items()} == {
        "noor": ["sweep", "dust"],
        "tam": ["cups", "beds", "sweep", "dust"],
        "edie": ["beds", "sweep", "dust"],
    }
    assert (done["edie"][0].people, done["edie"][0].done_by) == (("edie",), ("edie",))


def test_person_who_is_away_has_no_minutes_and_the_reason_for_it() -> None:
    away = ('away 2026-03-04 by edie "At sea"',)
    household = house(SINCE, *away, *SHARED)
    answer = due(household, day(WEDNESDAY), Scope("edie"))
    assert (answer.away, answer.limit, names(answer.today)) == ("At sea", 0, [])
    assert due_text(answer).splitlines()[1:4:2] == ["Away: edie (At sea)", to_do(answer)]
    assert to_do(answer) == "Nothing is asked on this day."
    assert due(household, day(WEDNESDAY), Scope("tam")).away is None


def test_nobody_is_asked_who_is_away_or_rests() -> None:
    lines = (SINCE, "limit wednesday 10 min", "away 2026-03-04 by edie",
             "rest 2026-03-04 by tam", "every day",
             "    cups  5 min  by tam or noor or edie", "    cat  5 min  by tam or edie  vital",
             "every week", "    dust  5 min  by noor or tam")  # fmt: skip
    household = house("person noor", "person tam", "person edie", *lines)
    of = {who: due(household, day(WEDNESDAY), Scope(who)) for who in (None, "noor", "tam", "edie")}
    assert {who: names((*one.today, *one.may_wait)) for who, one in of.items()} == {
        None: ["cups", "cat", "dust"], "noor": ["cups", "dust"], "tam": ["cat"], "edie": []
    }  # fmt: skip
    # What may wait may be somebody's on another day.
    assert [task.people for task in (*of[None].today, *of[None].may_wait)] == [
        ("noor",), ("tam",), ("noor", "tam")
    ]  # fmt: skip


SHARES = st.sampled_from(["", "by each", "by noor", "by tam or edie", "by noor then edie then tam"])


@given(st.lists(st.tuples(st.integers(1, 30), SHARES), min_size=1, max_size=6))
def test_lists_of_all_people_together_are_the_list_of_the_house(
    chores: list[tuple[int, str]],
) -> None:
    lines = [f"  c{n}  {minutes} min  {who}" for n, (minutes, who) in enumerate(chores)]
    household = house(SINCE, *PEOPLE, "every day", *lines)
    everybody = due(household, day(WEDNESDAY))
    own = {
        person: {task.chore: task for task in
                 due(household, day(WEDNESDAY), Scope(person)).today}
        for person in household.people
    }  # fmt: skip
    for task in everybody.today:
        can = {person for person, tasks in own.items() if task.chore in tasks}
        assert can == set(task.people or household.people)
        shares = [own[person][task.chore].total for person in can]
        assert task.total == (sum(shares) if task.each else shares[0])


# ------------------------------------------------------------------------------- the command


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--for", "noer"), 'there is no person "noer"; did you mean `noor`?'),
        (("--in", "kitchn"), 'there is no area "kitchn"; did you mean `kitchen`?'),
        (("--minutes", "0"), '"0" is no whole number from 1 to 1440'),
        (("--minutes", "30min"), '"30min" is no whole number from 1 to 1440'),
    ],
)
def test_wrong_call_ends_with_2_and_says_why(
    tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    (tmp_path / "home.chores").write_text("\n".join([SINCE, *SHARED, ""]), "utf-8")
    result = besom("due", str(tmp_path), *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in " ".join(result.stderr.split())


@pytest.mark.parametrize("form", ["json", "csv", "markdown"])
def test_command_answers_for_one_person_in_every_form(tmp_path: Path, form: str) -> None:
    (tmp_path / "home.chores").write_text("\n".join([SINCE, *SHARED, ""]), "utf-8")
    call = (str(tmp_path), "--on", WEDNESDAY, "--for", "noor", "--as", form)
    for words in (("due", *call), ("week", *call), ("due", *call, "--minutes", "9")):
        result = besom(*words)
        assert (result.exit_code, result.stderr) == (0, "")
        assert "post" in result.stdout
        assert "bins" not in result.stdout

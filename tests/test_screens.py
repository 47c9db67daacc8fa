"""Screens: what lists, weeks, reviews and single chores say of a home with all that may vary.

2 March 2026 is a Monday. On Wednesday the household rests, and tam is away that day and the next.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from books import day, house
from test_cli import besom
from test_render import too_wide

from ledger.household.model import Household
from ledger.render.chore_text import chore_text
from ledger.render.due_text import due_text
from ledger.render.review_text import review_text
from ledger.render.week_text import week_text
from ledger.report.chore import about
from ledger.report.due import due
from ledger.report.review import review
from ledger.report.scope import Scope
from ledger.report.week import week

HOME = (
    "since 2026-03-02",
    "person noor",
    "person tam",
    "area kitchen",
    'days school 2026-03-02 to 2026-03-06 "School days"',
    "limit weekday 1 h",
    "limit school 40 min",
    "limit noor 30 min",
    "limit noor wednesday 10 min",
    'away 2026-03-04 to 2026-03-05 by tam "Course"',
    'rest 2026-03-04 "Flu"',
    "every day vital",
    "    feed-cat  5 min  by noor or tam",
    "    walk-dog  20 min  by tam",
    "        - Take a bag",
    "        - Key on hook # 3",
    'every weekday during school expires "Out of the door"',
    "    lunch-boxes  10 min  in kitchen  by noor or tam",
    "every week",
    "    turn-mattress  15 min  by noor and tam",
    "    tax  1 h  by noor",
    "every week spare",
    "    sort-photos  30 min",
)
RECORD = ("2026-03-03 worked tax 25 min by noor", "2026-03-03 did feed-cat, walk-dog")
TUESDAY, WEDNESDAY, THURSDAY = "2026-03-03", "2026-03-04", "2026-03-05"


def home(*more: str) -> Household:
    return house(*HOME, *RECORD, *more)


def listed(text: str) -> list[str]:
    """The lines of a screen, blanks joined."""
    return [" ".join(line.split()) for line in text.splitlines()]


def list_of(on: str, scope: Scope | None = None, *more: str) -> list[str]:
    return listed(due_text(due(home(*more), day(on), scope or Scope())))


# ----------------------------------------------------------------------------- the list of a day


def test_list_of_a_common_day() -> None:
    assert list_of(TUESDAY) == [
        "Tuesday 3 March 2026",
        "",
        "Out of the door",
        "lunch boxes 10 min noor (or tam)",
        "",
        "To do: 10 min of 40 min",
        "May wait: 2 chores, 1 h 5 min (--all shows them)",
        "Done: 2 chores, 25 min (--all shows them)",
    ]


def test_list_of_all_has_what_may_wait_and_what_is_done() -> None:
    text = listed(due_text(due(home(), day(TUESDAY)), everything=True, steps=True))
    assert text[5:] == [
        "May wait",
        "turn mattress 2 × 15 min noor and tam planned Sun 8 Mar, until Sun 8 Mar",
        "tax 35 min noor planned Sat 7 Mar, until Sun 8 Mar,",
        "25 min of 1 h worked",
        "sort photos 30 min spare, until Sun 8 Mar",
        "",
        "Done",
        "feed cat 5 min noor or tam vital",
        "walk dog 20 min tam vital",
        "- Take a bag",
        "- Key on hook # 3",
        "",
        "To do: 10 min of 40 min",
        "May wait: 2 chores, 1 h 5 min",
        "Done: 2 chores, 25 min",
    ]


def test_day_of_rest_asks_for_what_is_vital_and_says_what_nobody_is_there_to_do() -> None:
    assert list_of(WEDNESDAY) == [
        "Wednesday 4 March 2026",
        "Away: tam (Course); rest: everyone (Flu)",
        "",
        "Vital, and nobody is there to do it",
        "walk dog 20 min tam vital",
        "",
        "every day",
        "feed cat 5 min noor vital",
        "",
        "To do: 5 min of 40 min",
    ]


def test_day_on_which_one_is_away_holds_no_more_than_the_others_have() -> None:
    # Of 40 minutes for the household, the only one there has 30.
    text = list_of(THURSDAY)
    assert text[-2:] == [
        "To do: 15 min of 30 min", "May wait: 1 chore, 35 min (--all shows them)"
    ]  # fmt: skip
    # Both are needed for the mattress, and only one is there.
    assert not any(line.startswith("turn mattress") for line in text)


@pytest.mark.parametrize(
    ("on", "person", "limit"),
    [(TUESDAY, "noor", 30), (WEDNESDAY, "noor", 10), (TUESDAY, "tam", None), (WEDNESDAY, "tam", 0),
     ("2026-03-06", None, 40), ("2026-03-09", None, 60), ("2026-03-07", None, None)],
)  # fmt: skip
def test_limit_is_that_of_the_kind_of_day(on: str, person: str | None, limit: int | None) -> None:
    assert due(home(), day(on), Scope(person)).limit == limit
    (one,) = (one for one in week(home(), day(on), Scope(person)).days if str(one.day) == on)
    assert one.limit == limit


def test_person_who_is_away_and_rests_is_said_to_do_both() -> None:
    assert list_of(WEDNESDAY, Scope("tam"))[1:] == [
        "Away: tam (Course); rest: everyone (Flu)", "", "Vital, and nobody is there to do it",
        "walk dog 20 min vital", "", "Nothing is asked on this day.",
    ]  # fmt: skip
    assert list_of(THURSDAY, Scope("noor"))[1:3] == ["", "every day"]


def test_what_expires_is_never_late_and_what_is_spare_neither() -> None:
    answer = due(home(), day("2026-03-07"))
    assert "lunch-boxes" not in {task.chore for task in (*answer.late, *answer.today)}
    answer = due(home(), day("2026-03-08"))
    assert [task.chore for task in answer.may_wait] == ["sort-photos"]
    assert answer.minutes == 5 + 20 + 2 * 15 + 35


def test_minutes_worked_leave_less_to_do_until_none_are_left() -> None:
    for worked, left in ((("35 min",), 0), (("10 min", "5 min"), 20), (("2 h",), 0)):
        more = [f"{THURSDAY} worked tax {minutes}" for minutes in worked]
        (task,) = (one for one in due(home(*more), day("2026-03-08")).today if one.chore == "tax")
        assert task.total == left


def test_what_was_worked_on_to_its_end_has_no_minutes_for_anybody() -> None:
    text = list_of("2026-03-08", None, f"{THURSDAY} worked turn-mattress 15 min")
    assert "turn mattress 0 min noor and tam 15 min of 15 min worked" in text


def test_what_is_done_after_it_was_worked_on_is_learned_in_all() -> None:
    record = [line for n in (5, 12, 19, 26) for line in (f"2026-03-{n:02} worked tax 20 min",
              f"2026-03-{n + 1:02} did tax 15 min by noor")]  # fmt: skip
    household = home(*record, "2026-04-02 did tax 50 min by noor")
    answer = about(household, "tax", day("2026-04-02"))
    assert answer.learned is not None
    # The first week has 25 minutes of Tuesday as well.
    assert (answer.learned.minutes, answer.learned.lines) == (35, 5)
    (task,) = (one for one in due(household, day("2026-04-06")).may_wait if one.chore == "tax")
    assert (task.lately, task.left) == (35, 60)


def test_pick_takes_what_is_vital_first() -> None:
    text = listed(due_text(due(home(), day("2026-03-07"), minutes=25)))
    assert text[2:6] == [
        "In 25 min", "feed cat 5 min tam (or noor) vital", "walk dog 20 min tam vital", ""
    ]  # fmt: skip
    assert text[-1] == "Longer than 25 min: tax 35 min, turn mattress 30 min, sort photos 30 min"


# --------------------------------------------------------------------------------- the week


def test_week_has_each_day_as_its_list() -> None:
    text = listed(week_text(week(home(), day(WEDNESDAY))))
    at = text.index("Wednesday 4 March (this day) 5 min of 40 min")
    assert text[at + 1 : at + 4] == [
        "Away: tam (Course); rest: everyone (Flu)", "Take out: every day",
        "feed cat 5 min noor vital",
    ]  # fmt: skip
    at = text.index("Thursday 5 March 15 min of 30 min")
    assert "walk dog 20 min tam vital" not in text[at : at + 5]
    # Both are there from Friday on; the days of the weekend have no limit.
    assert "turn mattress 2 × 15 min noor and tam" in text[text.index("Saturday 7 March 1 h") :]
    assert "tax 35 min noor until Sun 8 Mar, 25 min of 1 h worked" in text
    at = text.index("May wait beyond this week")
    assert text[at + 1] == "sort photos 30 min spare, until Sun 8 Mar"
    assert text[-1] == "Left of this week: 2 h 50 min"


# ------------------------------------------------------------------------------- one chore


@pytest.mark.parametrize(
    ("chore", "on", "said"),
    [
        ("walk-dog", TUESDAY, ["every day, 20 min, by tam, vital", "Steps", "- Take a bag",
                               "- Key on hook # 3", "done on Tue 3 Mar"]),
        ("walk-dog", WEDNESDAY, ["done on Tue 3 Mar", "Fri 6 Mar"]),
        ("lunch-boxes", WEDNESDAY, ["Out of the door, every weekday during school, 10 min, in "
                                    "kitchen, by noor or", "tam, expires",
                                    "asks for nothing now"]),
        ("turn-mattress", WEDNESDAY, ["every week, 15 min each, by noor and tam",
                                      "due from Fri 6 Mar to Sun 8 Mar, by noor and tam"]),
        ("tax", WEDNESDAY, ["due from Thu 5 Mar to Sun 8 Mar, by noor", "Tue 3 Mar worked 25 min "
                            "noor"]),
        ("sort-photos", TUESDAY, ["every week, 30 min, spare", "due, until Sun 8 Mar"]),
    ],
)  # fmt: skip
def test_chore_says_what_it_is_and_when_it_is_asked(chore: str, on: str, said: list[str]) -> None:
    text = chore_text(about(home(), chore, day(on)))
    assert too_wide(text) == []
    assert set(said) <= set(listed(text))


@pytest.mark.parametrize(
    ("absence", "on", "said"),
    [
        ("rest 2026-03-10 to 2026-03-11", "2026-03-10", "due on Thu 12 Mar; it was for Mon 9 Mar"),
        ("rest 2026-03-12", "2026-03-12", "2 days late; due on Fri 13 Mar; it was for Mon 9 Mar"),
        ("rest 2026-03-12", "2026-03-11", "2 days late; it was for Mon 9 Mar"),
        # Its next window opens before anyone is there again.
        ("rest 2026-03-10 to 2026-03-15", "2026-03-12", "asks for nothing now"),
        # A Monday on which nobody is asked takes nothing over.
        ("rest 2026-03-10 to 2026-03-16", "2026-03-12", "due on Tue 17 Mar; it was for Mon 9 Mar"),
        ("away from 2026-03-10", "2026-03-12", "asks for nothing now"),
    ],
)
def test_chore_that_is_left_over_says_when_it_is_asked_again(
    absence: str, on: str, said: str
) -> None:
    household = house("since 2026-03-02", absence, "every monday", "    bins")
    assert said in listed(chore_text(about(household, "bins", day(on))))


# ------------------------------------------------------------------------------ the review


def test_review_counts_minutes_together_once_for_each() -> None:
    household = home("2026-03-07 did turn-mattress", "2026-03-08 did tax 20 min by noor, tam")
    answer = review(household, day("2026-03-08"), 1)
    minutes = {one.person: one.minutes for one in answer.people}
    assert minutes == {"noor": 25 + 15 + 20, "tam": 20 + 15 + 20, None: 5}
    assert answer.minutes == sum(minutes.values())


def test_review_asks_for_nothing_spare_by_tonight_and_misses_none() -> None:
    answer = review(home(), day("2026-03-08"), 1)
    text = listed(review_text(answer))
    assert text[text.index("To be done by tonight") + 1] == "feed-cat, walk-dog, turn-mattress, tax"
    next_week = review(home(), day("2026-03-15"), 2)
    assert "sort-photos" not in {one.chore for one in next_week.chores if any(one.tally)}


# --------------------------------------------------------------------------- commands and forms


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "home.chores").write_text("\n".join([*HOME, *RECORD, ""]), "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_doing_what_was_worked_on_says_the_sum(folder: Path) -> None:
    result = besom("did", "tax", "30", "walk-dog", "20", "--by", "noor", "--on", "2026-03-06")
    assert result.stdout == (
        "home.chores: 2026-03-06 did tax 30 min, walk-dog 20 min by noor\n"
        "  tax took 55 min in all, 25 min of it before\n"
    )
    late = besom("did", "tax", "30", "--on", "2026-03-06", "--yes")
    assert late.stdout.splitlines()[1:] == [
        "  tax was done already, is paused or comes round no more: this settles nothing further"
    ]


def test_rows_say_what_a_task_is_and_what_was_worked_on_it(folder: Path) -> None:
    said = besom("due", "--on", TUESDAY, "--as", "csv").stdout.splitlines()
    headers = said[0].split(",")
    rows = {row.split(",")[2]: dict(zip(headers, row.split(","), strict=False)) for row in said}
    assert (rows["tax"]["minutes"], rows["tax"]["worked"], rows["tax"]["flags"]) == ("35", "25", "")
    assert rows["turn-mattress"]["times"] == "2"
    assert rows["sort-photos"]["flags"] == "spare"
    assert (rows["lunch-boxes"]["flags"], rows["walk-dog"]["flags"]) == ("expires", "vital")


def test_json_has_what_the_list_says(folder: Path) -> None:
    answer = json.loads(besom("due", "--on", WEDNESDAY, "--as", "json").stdout)
    assert (answer["rest"], answer["away"]) == ("Flu", None)
    (nobody,) = answer["nobody_there"]
    assert (nobody["chore"], nobody["vital"], nobody["steps"]) == (
        "walk-dog", True, ["Take a bag", "Key on hook # 3"],
    )  # fmt: skip

"""The practice itself: containers a week and a month, as homes run on paper keep them.

Facts of this file are common practice, no source.
"""

from __future__ import annotations

from datetime import date

import pytest
from books import day, house

from ledger.household.model import Household
from ledger.report.due import Due, due
from ledger.report.week import week
from ledger.text.values import DAYS

CADENCES = (
    "every day",
    *(f"every {name}" for name in DAYS[:5]),
    "every weekend",
    *(f"weekend {number}" for number in range(1, 6)),
)


def sheet(*record: str) -> Household:
    """A sheet of twelve containers with a chore each, from a month that begins on a Monday."""
    lines = ["since 2026-06-01"]
    for cadence in CADENCES:
        lines += [cadence, f"    {cadence.replace(' ', '-')}  5 min"]
    return house(*lines, *record)


def on(text: str, *record: str) -> Due:
    return due(sheet(*record), day(text), 0)


def open_chores(answer: Due) -> set[str]:
    return {task.chore for task in (*answer.today, *answer.may_wait)}


def test_twelve_containers_are_every_day_five_weekdays_the_weekend_and_five_weekends() -> None:
    assert len({section.cadence for section in sheet().sections}) == 12
    first = {name for n in range(1, 8) for name in on(f"2026-06-{n:02}").containers}
    assert first == set(CADENCES[:8])


def test_first_monday_takes_out_two_containers() -> None:
    assert on("2026-06-01").containers == ("every day", "every monday")


@pytest.mark.parametrize("number", range(5))
def test_each_weekday_takes_out_its_own_beside_every_day(number: int) -> None:
    assert on(f"2026-06-{number + 1:02}").containers == ("every day", f"every {DAYS[number]}")


def test_first_saturday_takes_out_three_containers() -> None:
    assert on("2026-06-06").containers == ("every day", "every weekend", "weekend 1")


def test_what_saturday_leaves_is_due_on_sunday_and_late_on_monday() -> None:
    saturday, sunday, monday = (on(f"2026-06-{n:02}") for n in (6, 7, 8))
    weekend = {"every-weekend", "weekend-1"}
    assert weekend <= {task.chore for task in saturday.may_wait}
    assert weekend <= {task.chore for task in sunday.today}
    assert weekend <= {task.chore for task in monday.late}
    assert {task.days_late for task in monday.late if task.chore in weekend} == {1}


def test_what_saturday_did_is_not_due_on_sunday() -> None:
    sunday = on("2026-06-07", "2026-06-06 did every-weekend, weekend-1")
    assert {"every-weekend", "weekend-1"} & open_chores(sunday) == set()


def test_every_day_chores_are_due_again_on_sunday_whatever_saturday_did() -> None:
    assert "every-day" in open_chores(on("2026-06-07", "2026-06-06 did every-day"))
    assert "every-day" in open_chores(on("2026-06-07"))
    assert [task.chore for task in on("2026-06-07").late if task.chore == "every-day"] == []


@pytest.mark.parametrize("name", DAYS[:5])
def test_after_sunday_the_week_starts_afresh(name: str) -> None:
    """Undone a week ago or done: on its day the chore is due, and owed once."""
    number = DAYS.index(name)
    chore = f"every-{name}"
    for record in ((), (f"2026-06-{number + 1:02} did {chore}",)):
        answer = on(f"2026-06-{number + 8:02}", *record)
        assert [task.chore for task in answer.today if task.chore == chore] == [chore]
        assert chore not in {task.chore for task in answer.late}


def test_a_new_week_holds_every_weekly_chore_once() -> None:
    answer = week(sheet(), day("2026-06-08"), 0)
    chores = [task.chore for one in answer.days for task in one.tasks if task.state == "due"]
    assert chores.count("every-day") == 7
    weekly = [chore for chore in chores if chore != "every-day"]
    assert sorted(weekly) == sorted(
        [*(f"every-{name}" for name in DAYS[:5]), "every-weekend", "weekend-2"]
    )


def test_weekend_5_comes_only_in_months_with_five_saturdays() -> None:
    household = sheet()
    for month in range(6, 13):
        saturdays = [n for n in range(1, 32) if _is_saturday(2026, month, n)]
        out = [due(household, date(2026, month, n).toordinal(), 0).containers for n in saturdays]
        assert [f"weekend {n}" in names for n, names in enumerate(out, 1)] == [True] * len(out)
        assert ("weekend 5" in out[-1]) == (len(saturdays) == 5)


def _is_saturday(year: int, month: int, number: int) -> bool:
    try:
        return date(year, month, number).weekday() == 5
    except ValueError:
        return False

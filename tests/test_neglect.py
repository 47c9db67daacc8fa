"""Neglect: what was not done for more than three of its periods, whatever its windows say."""

from __future__ import annotations

from datetime import date

import pytest
from books import day, house, iso
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_keeping import PlainBook
from test_matching import SINCE, kept_books

from ledger.keeping.history import timelines
from ledger.keeping.neglect import MOST_PERIODS, Neglect, neglect
from ledger.render.areas_text import areas_text
from ledger.render.due_text import due_text
from ledger.report.areas import areas
from ledger.report.due import due
from ledger.report.undone import Undone
from ledger.text.words import long_time


def found(*lines: str, on: str) -> list[Neglect | None]:
    """How long chore `x`, or each person's share of it, was not done by a day."""
    household = house(*lines)
    return [neglect(one, day(on)) for one in timelines(household, household.chores["x"])]


# ------------------------------------------------------------------------------- day by day


def plain_neglect(lines: tuple[str, ...], person: str | None, on: int) -> Neglect | None:
    """The same by the rules, day by day."""
    book = PlainBook("\n".join(lines), on)
    counted = [
        line
        for line in book.home.lines_of("x", person)
        if not (line.spare or line.paused or line.cadence.kind == "once")
        and book.calendar.period(line) >= 7
    ]
    did = [
        said.day
        for said in book.said("x", on)
        if said.verb == "did" and (person is None or not said.people or person in said.people)
    ]

    def is_asked(one: int) -> bool:
        return any(book.home.is_asked(line, person, one) for line in counted)

    since = did[-1] if did else next(filter(is_asked, range(book.start, on + 1)), on)
    periods = sum(
        1 / book.calendar.period(line)
        for line in counted
        for one in range(since + 1, on + 1)
        if book.home.is_asked(line, person, one)
    )
    of_late = any(
        book.home.is_asked(line, person, one)
        for line in counted
        for one in range(on, 0, -1)
        if on - one < book.calendar.period(line)
    ) if periods > MOST_PERIODS else False  # fmt: skip
    is_kept = any(one.entry.verb == "did" and one.date.value < on for one in book.record)
    if periods <= MOST_PERIODS + 1e-9 or not of_late or not is_kept:
        return None
    return Neglect(since, bool(did), periods)


@settings(max_examples=250, deadline=None)
@given(kept_books(), st.integers(0, 170))
def test_neglect_is_what_the_days_and_the_record_say_day_by_day(
    lines: tuple[str, ...], offset: int
) -> None:
    on = SINCE.toordinal() + offset
    household = house(*lines)
    for one in timelines(household, household.chores["x"]):
        said, plain = neglect(one, on), plain_neglect(lines, one.person, on)
        assert (said is None) == (plain is None)
        if said is not None and plain is not None:
            assert said[:2] == plain[:2]
            assert said.periods == pytest.approx(plain.periods)


# ------------------------------------------------------------------------------- single cases

BOOK = ("since 2025-01-01", "limit sunday 5 min", "area hall", "area yard",
        "every month within 7 days",
        '  alarm  5 min  in hall  "Test the smoke alarm"', "every day",
        "  cups  5 min  in yard")  # fmt: skip
CUPS = tuple(f"{iso(day('2026-10-28') + n)} did cups" for n in range(8))


def test_alarm_that_nobody_tested_for_15_months_does_not_hide_behind_a_new_window() -> None:
    book = house(*BOOK, "2025-08-01 did alarm", *CUPS, "2026-11-01 did cups")
    on = day("2026-11-01")
    answer = due(book, on)
    assert answer.late == ()
    (alarm,) = [task for task in answer.may_wait if task.chore == "alarm"]
    assert alarm.undone is not None
    assert alarm.undone[:3] == ("alarm", date(2025, 8, 1), True)
    assert round(alarm.undone.periods, 1) == 15.0
    short, whole = due_text(answer), due_text(answer, everything=True)
    assert "Not done in a long time: Test the smoke alarm (last done 15 months ago)\n" in short
    assert "planned Mon 2 Nov, until Sat 7 Nov,\n" in whole
    assert "last done 15 months ago\n" in whole
    assert "Not done in a long time" not in whole
    hall, yard = areas(book, on).areas
    assert (hall.undone, yard.undone) == (alarm.undone, None)
    assert (
        "Not done in a long time\n  hall  alarm  last done 15 months ago, 15 periods\n"
        in areas_text(areas(book, on))
    )


def test_what_is_late_says_besides_how_long_ago_it_was_done() -> None:
    book = house(*BOOK, "2025-08-01 did alarm", *CUPS)
    assert "3 days late, last done 15 months ago\n" in due_text(due(book, day("2026-11-10")))


def test_what_never_was_done_counts_from_when_it_was_first_asked() -> None:
    book = house(*BOOK, *CUPS)
    (alarm,) = (one for one in areas(book, day("2026-11-05")).areas if one.undone is not None)
    assert alarm.undone is not None
    assert alarm.undone[:3] == ("alarm", date(2025, 1, 1), False)
    assert "hall  alarm  not done in 22 months, 22 periods" in areas_text(
        areas(book, day("2026-11-05"))
    )


WEEKLY = ("since 2026-01-01", "person noor", "person tam", "every week", "  x  5 min")


@pytest.mark.parametrize(
    ("lines", "on", "is_told"),
    [
        (("2026-01-05 did x",), "2026-01-26", False),
        (("2026-01-05 did x",), "2026-01-27", True),
        (("2026-01-05 did x", "2026-01-20 skipped x"), "2026-01-27", True),
        (("2026-01-05 did x", "2026-01-20 worked x 5 min"), "2026-01-27", True),
        (("2026-01-05 did x", "2026-01-27 did x"), "2026-01-27", False),
        (("2026-01-05 did x", "away 2026-01-10 to 2026-01-12"), "2026-01-29", False),
        (("2026-01-05 did x", "away 2026-01-10 to 2026-01-12"), "2026-01-30", True),
        (("2026-01-05 did x", "away 2026-01-10 to 2026-02-20 by tam"), "2026-01-27", True),
        # A book that never says what was done is a list, and no record.
        ((), "2026-06-01", False),
        (("2026-01-05 skipped x",), "2026-06-01", False),
    ],
)
def test_only_what_is_done_counts_and_only_days_on_which_it_is_asked(
    lines: tuple[str, ...], on: str, is_told: bool
) -> None:
    assert [one is not None for one in found(*WEEKLY, *lines, on=on)] == [is_told]


@pytest.mark.parametrize(("on", "is_told"), [
    ("2027-05-31", False), ("2027-06-19", False), ("2027-06-20", True), ("2027-09-06", True),
    ("2027-09-07", False),
])  # fmt: skip
def test_chore_of_the_summer_is_not_neglected_in_spring(on: str, is_told: bool) -> None:
    """Done for the last time two days before the season of 2026 ended."""
    book = (
        "since 2026-01-01",
        "every week during june to august",
        "  x  5 min",
        "2026-08-29 did x",
    )
    assert [one is not None for one in found(*book, on=on)] == [is_told]


@pytest.mark.parametrize(
    "header", ["every week spare", "every week paused", "once from 2026-01-01 to 2026-01-02"]
)
def test_spare_and_paused_lines_and_what_is_done_once_are_never_neglected(header: str) -> None:
    book = ("since 2026-01-01", header, "  x  5 min", "every day", "  y  1 min", "2026-01-02 did y")
    assert found(*book, on="2026-12-01") == [None]


def test_chore_counted_from_when_it_was_done_is_neglected_too() -> None:
    book = ("since 2026-01-01", "14 days after done", "  x  5 min", "2026-01-05 did x")
    assert found(*book, on="2026-02-16") == [None]
    assert found(*book, on="2026-02-17") == [Neglect(day("2026-01-05"), True, 43 / 14)]


def test_shares_of_each_go_by_their_own_lines_and_stay_one_task() -> None:
    book = ("since 2026-01-01", "person noor", "person tam", "every monday", "  x  5 min  by each",
            "2026-01-05 did x", "2026-01-12 did x by tam")  # fmt: skip
    assert found(*book, on="2026-02-01") == [Neglect(day("2026-01-05"), True, 27 / 7), None]
    (task,) = due(house(*book), day("2026-02-09")).today
    assert task.people == ("noor", "tam")
    assert task.undone == Undone("x", date(2026, 1, 5), True, 5.0)


def test_day_to_come_takes_the_days_before_it_as_kept() -> None:
    today = day("2026-01-20")
    book = house(
        "since 2026-01-01", "every monday", "  x  5 min", "  y  5 min", "2026-01-05 did y"
    ).on(today)
    assert [one.undone for one in due(book, today + 60).late] == []
    assert all(one.undone is None for one in due(book, day("2026-03-16")).today)


@pytest.mark.parametrize(("days", "words"), [
    (1, "1 day"), (59, "59 days"), (60, "2 months"), (456, "15 months"), (729, "24 months"),
    (730, "2 years"), (1100, "3 years"),
])  # fmt: skip
def test_long_times_are_said_in_the_unit_that_is_read_at_a_glance(days: int, words: str) -> None:
    assert long_time(days) == words

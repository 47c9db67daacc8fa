"""Coming: the windows ahead of a chore, against the whole of its matched windows."""

from __future__ import annotations

import pytest
import strategies as some
from books import day, house, iso, timeline
from hypothesis import given, settings
from hypothesis import strategies as st
from test_matching import SINCE, households, people_of

from ledger.household.model import Household
from ledger.keeping.coming import coming
from ledger.keeping.matching import marks_of, match
from ledger.keeping.status import standing, timelines
from ledger.text.source import Source
from ledger.workspace import read_sources

HEAD = ("since 2026-01-01", "person ada", "person bo")


def ahead(*lines: str, on: str, count: int = 3) -> list[tuple[str, str]]:
    """The days of the next windows of a chore `x` after a day."""
    found = coming(timeline(house(*HEAD, *lines)), day(on), count)
    return [(iso(one.first), iso(one.last)) for one in found]


@given(households(), st.integers(0, 150), st.integers(1, 6))
def test_coming_are_the_next_unsettled_windows_of_the_whole_book(
    household: Household, offset: int, count: int
) -> None:
    on = SINCE.toordinal() + offset
    for person in people_of(household):
        line = timeline(household, "x", person)
        marks = marks_of(household.log, "x", person, high=on)
        windows, _ = match(line.between(0, on + 400), marks)
        expected = [
            (one.first, one.last, one.window.first)
            for one in windows
            if one.first > on and one.mark is None
        ]
        found = coming(line, on, count)
        assert [one[1:] for one in found] == expected[:count]


@settings(max_examples=40)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 120), st.integers(0, 4))
def test_coming_lie_ahead_apart_and_in_order(book: some.SmallBook, on: int, count: int) -> None:
    household = read_sources([Source("home.chores", book.text())]).household
    for chore in household.chores.values():
        for line in timelines(household, chore):
            found = coming(line, on, count)
            assert len(found) <= count
            days = [bound for one in found for bound in (one.first, one.last)]
            assert days == sorted(days)
            assert all(one.first > on for one in found)
            now = standing(line, on)
            if now is not None and now.mark is None and found:
                assert now.first <= on < found[0].first


def test_window_that_was_moved_ahead_lies_on_its_new_day_and_keeps_its_opening() -> None:
    household = house(*HEAD, "every monday", "  x  5 min", "2026-03-03 moved x to 2026-03-06",
                      "2026-03-09 moved x to 2026-03-12")  # fmt: skip
    (first, second) = coming(timeline(household), day("2026-03-09"), 2)
    assert [iso(bound) for bound in first[1:]] == ["2026-03-12", "2026-03-12", "2026-03-09"]
    assert iso(second.first) == "2026-03-16"


def test_windows_on_which_all_are_away_are_passed_over() -> None:
    days = ahead("away 2026-03-05 to 2026-03-10", "every monday", "  x  5 min", on="2026-03-04")
    assert days[0] == ("2026-03-16", "2026-03-16")


# ------------------------------------------------------------------------- after it was done


def test_of_a_chore_that_hangs_on_its_record_only_the_window_as_it_lies_is_known() -> None:
    book = ("14 days after done within 3 days", "  x  5 min", "2026-03-01 did x")
    assert ahead(*book, on="2026-03-04") == [("2026-03-15", "2026-03-17")]
    assert ahead(*book, on="2026-03-15") == []


def test_calendar_line_that_follows_comes_after_the_window_that_hangs() -> None:
    book = (
        "10 days after done", "  x  5 min  until 2026-03-31", "every monday",
        "  x  5 min  from 2026-04-01",
    )  # fmt: skip
    days = ahead(*book, on="2025-12-31")
    assert [first for first, _ in days] == ["2026-01-01", "2026-04-06", "2026-04-13"]


@pytest.mark.parametrize(
    ("done", "first"), [("2026-03-01", "2026-04-01"), ("2026-03-04", "2026-04-03")]
)
def test_line_that_is_to_hang_on_the_record_opens_when_it_begins_or_later(
    done: str, first: str
) -> None:
    book = ("once from 2026-01-01 to 2026-01-02", "  x  5 min",
            "30 days after done", "  x  5 min  from 2026-04-01",
            "30 days after done within 2 days", "  x  5 min  paused", f"{done} did x")  # fmt: skip
    assert ahead(*book, on="2026-03-04") == [(first, first)]


def test_calendar_windows_end_where_a_line_that_hangs_on_the_record_begins() -> None:
    book = (
        "every monday", "  x  5 min", "10 days after done", "  x  5 min  from 2026-03-11",
        "2026-03-04 did x",
    )  # fmt: skip
    days = ahead(*book, on="2026-03-04", count=4)
    assert [first for first, _ in days] == ["2026-03-09", "2026-03-14"]

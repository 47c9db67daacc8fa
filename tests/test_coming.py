"""Coming: the windows ahead of a chore, against the simulator and by laws."""

from __future__ import annotations

from itertools import islice

import pytest
import strategies as some
from books import day, house, iso, shares
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_keeping import PlainBook
from test_matching import SINCE, kept_books

from ledger.keeping.occasion import Occasion
from ledger.text.source import Source
from ledger.workspace import read_sources

HEAD = ("since 2026-01-01", "person ada", "person bo")


def coming(*lines: str, on: str, count: int = 3) -> list[Occasion]:
    """The next windows of a chore `x` after a day."""
    (share,) = shares(house(*HEAD, *lines), day(on))
    return list(islice(share.ahead(), count))


def ahead(*lines: str, on: str, count: int = 3) -> list[tuple[str, str]]:
    """Their days."""
    return [(iso(one.first), iso(one.last)) for one in coming(*lines, on=on, count=count)]


@settings(max_examples=200)
@given(kept_books(), st.integers(0, 150), st.integers(1, 6))
def test_coming_are_the_next_unsettled_windows_of_the_whole_book(
    lines: tuple[str, ...], offset: int, count: int
) -> None:
    on = SINCE.toordinal() + offset
    plain = PlainBook("\n".join(lines), on)
    for share in shares(house(*lines), on):
        fates, _ = plain.matched("x", share.timeline.person, on, on + 250)
        expected = [
            (one.first, one.last, one.opened, one.left)
            for one in fates
            if on < one.first <= on + 250 and one.line is None and one.kind == "open"
        ]
        found = [
            (one.first, one.last, one.opened, one.minutes)
            for one in islice(share.ahead(), count)
            if one.first <= on + 250
        ]
        assert found == expected[:count]


@settings(max_examples=60)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 120), st.integers(0, 4))
def test_coming_lie_ahead_apart_and_in_order(book: some.SmallBook, on: int, count: int) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    for share in shares(household, on):
        found = list(islice(share.ahead(), count))
        days = [bound for one in found for bound in (one.first, one.last)]
        assert days == sorted(days)
        assert all(one.first > on and one.mark is None for one in found)
        if share.owed is not None and found:
            assert share.owed.first <= on < found[0].first
        # What is to do is the same, behind what is owed, if that is asked on any day to come.
        if not share.timeline.chore.is_after_done:
            owed = [one for one in [share.owed] if one and one.asked_span(on)]
            listed = list(islice(share.to_do(on + 40_000), len(owed) + len(found)))
            assert listed == [*owed, *found]


def test_window_that_was_moved_to_before_its_opening_comes_once() -> None:
    moved = "2026-01-10 moved x to 2026-01-12"
    book = "every month on 15 until 2026-01-31", "    x  5 min", moved
    assert ahead(*book, on="2026-01-11") == [("2026-01-12", "2026-01-12")]
    assert ahead(*book, on="2026-01-13") == []


def test_window_that_was_moved_ahead_lies_on_its_new_day_and_keeps_its_opening() -> None:
    first, second, _ = coming(
        "every monday", "  x  5 min", "2026-03-03 moved x to 2026-03-06",
        "2026-03-09 moved x to 2026-03-12", on="2026-03-09",
    )  # fmt: skip
    days = [iso(bound) for bound in (first.first, first.last, first.opened)]
    assert days == ["2026-03-12", "2026-03-12", "2026-03-09"]
    assert iso(second.first) == "2026-03-16"


def test_windows_on_which_all_are_away_are_passed_over() -> None:
    days = ahead("away 2026-03-05 to 2026-03-10", "every monday", "  x  5 min", on="2026-03-04")
    assert days[0] == ("2026-03-16", "2026-03-16")


@pytest.mark.parametrize(
    ("header", "first"),
    [
        ("every monday during june", "2026-06-01"),
        ("every monday except march to june", "2026-07-06"),
        ("every weekend except saturday", "2026-03-08"),
        ("every february on 29", "2028-02-29"),
    ],
)
def test_next_window_is_found_however_far_it_is(header: str, first: str) -> None:
    assert ahead(header, "  x", on="2026-03-04", count=1) == [(first, first)]


def test_minutes_worked_on_a_window_to_come_are_off_what_is_left_of_it() -> None:
    lines = ("every monday", "  x  30 min", "2026-03-02 did x", "2026-03-03 worked x 20 min")
    assert [one.minutes for one in coming(*lines, on="2026-03-04", count=2)] == [10, 30]


# ------------------------------------------------------------------------- after it was done


def test_of_a_chore_that_hangs_on_its_record_only_the_window_as_it_lies_is_known() -> None:
    book = ("14 days after done within 3 days", "  x  5 min", "2026-03-01 did x")
    assert ahead(*book, on="2026-03-04") == [("2026-03-15", "2026-03-17")]
    assert ahead(*book, on="2026-03-15") == []


def test_window_after_done_opens_on_the_first_day_that_is_asked() -> None:
    book = ("10 days after done", "  x  5 min", "2026-03-01 did x")
    assert ahead("away 2026-03-10 to 2026-03-12", *book, on="2026-03-04") == [
        ("2026-03-13", "2026-03-13")
    ]
    weekend = ("10 days after done during weekend", *book[1:])
    assert ahead(*weekend, on="2026-03-04") == [("2026-03-14", "2026-03-14")]
    late = ("10 days after done from 2026-04-01 within 4 days until 2026-04-02", *book[1:])
    assert ahead(*late, on="2026-03-04") == [("2026-04-01", "2026-04-02")]


def test_windows_after_done_that_are_to_do_follow_each_other() -> None:
    book = ("10 days after done within 2 days", "  x  5 min", "2026-03-01 did x")
    (share,) = shares(house(*HEAD, *book), day("2026-03-15"))
    found = [(iso(one.first), one.is_expected) for one in share.to_do(day("2026-04-05"))]
    # What is owed is taken as done today.
    assert found == [("2026-03-11", False), ("2026-03-25", True), ("2026-04-04", True)]

"""The past: what became of each window, against the rules of the format, told without search."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

import pytest
import strategies as some
from books import Span, day, house, iso, standings
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_keeping import PlainBook
from test_matching import SINCE, kept_books

from ledger.household.model import Household
from ledger.keeping.occasion import Occasion, OutcomeKind
from ledger.keeping.past import Past, pasts_of
from ledger.keeping.record_lines import lines_of
from ledger.text.source import Source
from ledger.workspace import read_sources

OFFSETS = st.integers(0, 160)
LENGTHS = st.integers(0, 60)
HEAD = ("since 2026-01-01", "person ada", "person bo")


def fates(*lines: str, on: str, low: str = "2026-01-01", high: str = "") -> list[tuple[str, str]]:
    """The day on which each window of a chore `x` counts, and its fate."""
    (found,) = pasts(house(*HEAD, *lines), day(low), day(high or on), day(on))
    return [(iso(one.counted), one.fate.value) for one in found.outcomes if one.fate]


def extras(*lines: str, on: str) -> list[str]:
    """The days of the lines that found no window."""
    (found,) = pasts(house(*HEAD, *lines), day("2026-01-01"), day(on), day(on))
    return [iso(mark.day) for mark in found.extras]


def pasts(household: Household, low: int, high: int, on: int) -> list[Past]:
    """The past of every share of every chore."""
    return [
        one
        for chore in household.chores.values()
        for one in pasts_of(household, chore, low, high, on)
    ]


def shown(found: Occasion) -> tuple[int, int, int, str, int | None]:
    line = found.mark.line if found.mark is not None else None
    assert found.fate is not None
    return found.first, found.last, found.opened, found.fate.value, line


# ----------------------------------------------------------------------- against the format


@settings(max_examples=400)
@given(kept_books(), OFFSETS, LENGTHS, st.integers(0, 30))
def test_past_of_a_stretch_is_what_the_format_says_of_the_whole_record(
    lines: tuple[str, ...], offset: int, length: int, later: int
) -> None:
    low = SINCE.toordinal() + offset - 10
    high, on = low + length, low + length + later
    assert_as_the_format_says("\n".join(lines), house(*lines), (low, high), on)


@settings(max_examples=150)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 150), st.integers(0, 200))
def test_past_of_any_calendar_line_is_what_the_format_says(
    book: some.SmallBook, on: int, length: int
) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    assert_as_the_format_says(book.text(), household, (on - length, on), on)


def assert_as_the_format_says(text: str, household: Household, span: Span, on: int) -> None:
    """Each window that counts in the days is counted once, with its fate, and each extra line."""
    low, high = span
    plain = PlainBook(text, on)
    for chore in plain.lines:
        found = pasts_of(household, household.chores[chore], low, high, on)
        assert [one.timeline.person for one in found] == plain.rows(chore)
        for answer in found:
            fates, lost = plain.matched(chore, answer.timeline.person, on)
            # What was spare and not done leaves no trace.
            expected = [
                one[:5] for one in fates if low <= one.counted <= high and one.kind != "spare"
            ]
            assert sorted(map(shown, answer.outcomes), key=str) == sorted(expected, key=str)
            days = [plain.record[number].date.value for number in lost]
            inside = [n for n, when in zip(lost, days, strict=True) if low <= when <= high]
            assert [mark.line for mark in answer.extras] == inside


@settings(max_examples=40)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 150), st.data())
def test_stretches_that_part_the_days_part_the_windows_and_the_extras(
    book: some.SmallBook, on: int, data: st.DataObject
) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    low = on - data.draw(st.integers(0, 100))
    cuts = sorted(data.draw(st.lists(st.integers(low, on), max_size=4)))
    spans = zip([low, *cuts], [*(cut - 1 for cut in cuts), on], strict=True)
    parts = list(spans)
    whole = pasts(household, low, on, on)
    found = [pasts(household, first, last, on) for first, last in parts]
    for number, share in enumerate(whole):
        assert [one for part in found for one in part[number].outcomes] == list(share.outcomes)
        assert [one for part in found for one in part[number].extras] == list(share.extras)


@settings(max_examples=50)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 150))
def test_what_is_owed_past_its_days_is_what_stands_so(book: some.SmallBook, on: int) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    found = [one for past in pasts(household, some.BASE - 30, on, on) for one in past.outcomes]
    owed = [one for one in found if one.fate is OutcomeKind.OWED]
    assert owed == [one for one in standings(household, on) if one.is_late and one.last < on]


@settings(max_examples=40)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 150))
def test_no_line_settles_two_windows_or_is_an_extra_as_well(book: some.SmallBook, on: int) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    for past in pasts(household, some.BASE - 30, on, on):
        used = [one.mark.line for one in past.outcomes if one.mark is not None]
        used += [mark.line for mark in past.extras]
        known = {mark.line for mark in lines_of(household.log, past.timeline.chore.name)}
        assert max(Counter(used).values(), default=1) == 1
        assert set(used) <= known


# -------------------------------------------------------------------------------- single cases


def test_each_fate_is_told() -> None:
    book = (
        "every 4 days from 2026-01-01 within 2 days", "  x  5 min",
        "2026-01-02 did x", "2026-01-07 did x", "2026-01-08 did x", "2026-01-13 skipped x",
    )  # fmt: skip
    assert fates(*book, on="2026-01-26") == [
        ("2026-01-02", "done"), ("2026-01-07", "late"), ("2026-01-08", "early"),
        ("2026-01-13", "skipped"), ("2026-01-18", "missed"), ("2026-01-22", "missed"),
        ("2026-01-26", "open"),
    ]  # fmt: skip
    assert fates(*book, on="2026-01-24")[-2:] == [("2026-01-18", "missed"), ("2026-01-22", "owed")]
    # A day further the next window has opened.
    assert fates(*book, on="2026-01-25")[-1] == ("2026-01-22", "missed")


def test_window_counts_on_the_day_it_was_settled_and_not_on_its_own() -> None:
    book = ("every monday", "  x", "2026-01-07 did x")
    assert fates(*book, low="2026-01-05", high="2026-01-06", on="2026-01-11") == []
    assert fates(*book, low="2026-01-07", on="2026-01-11") == [("2026-01-07", "late")]


def test_window_that_was_moved_counts_where_it_was_moved() -> None:
    book = ("every monday", "  x", "2026-01-05 moved x to 2026-01-08")
    assert fates(*book, on="2026-01-07") == []
    assert fates(*book, on="2026-01-08") == [("2026-01-08", "open")]
    assert fates(*book, on="2026-01-09") == [("2026-01-08", "owed")]
    assert fates(*book, "2026-01-08 did x", on="2026-01-09") == [("2026-01-08", "done")]


def test_window_in_which_all_are_away_leaves_no_trace_and_drops_none() -> None:
    book = ("away 2026-01-12 to 2026-01-13", "every monday", "  x")
    for on in ("2026-01-11", "2026-01-12", "2026-01-18"):
        assert fates(*book, on=on) == [("2026-01-05", "owed")]
    assert fates(*book, on="2026-01-19") == [("2026-01-05", "missed"), ("2026-01-19", "open")]


@pytest.mark.parametrize("on", ["2026-01-12", "2026-01-13", "2026-01-14"])
def test_missed_window_is_not_owed_again_where_the_one_after_it_is_moved(on: str) -> None:
    book = ("every monday", "  x", "2026-01-12 moved x to 2026-01-15")
    assert fates(*book, on=on) == [("2026-01-05", "missed")]
    assert standings(house(*HEAD, *book), day(on)) == []
    assert fates(*book, on="2026-01-15") == [("2026-01-05", "missed"), ("2026-01-15", "open")]


def test_window_that_expires_is_missed_past_its_days_and_a_spare_one_leaves_no_trace() -> None:
    assert fates("every weekend expires", "  x", on="2026-01-04") == [("2026-01-04", "open")]
    assert fates("every weekend expires", "  x", on="2026-01-05") == [("2026-01-04", "missed")]
    assert fates("every weekend", "  x spare", on="2026-01-04") == [("2026-01-04", "open")]
    assert fates("every weekend", "  x spare", on="2026-01-05") == []
    assert fates("every weekend", "  x spare", "2026-01-03 did x", on="2026-01-05") == [
        ("2026-01-03", "done")
    ]


def test_window_is_owed_while_a_day_in_force_is_left_before_the_next() -> None:
    book = ("every monday except friday, saturday, sunday", "  x")
    assert fates(*book, on="2026-01-08") == [("2026-01-05", "owed")]
    assert fates(*book, on="2026-01-09") == [("2026-01-05", "missed")]


def test_parts_of_a_week_are_done_on_any_of_its_days() -> None:
    book = ("2 times every week", "  x", "2026-01-05 did x", "2026-01-06 did x", "2026-01-16 did x",
            "2026-01-18 did x")  # fmt: skip
    assert fates(*book, low="2026-01-05", on="2026-01-18") == [
        ("2026-01-05", "done"), ("2026-01-06", "early"), ("2026-01-16", "done"),
        ("2026-01-18", "late"),
    ]  # fmt: skip


def test_settled_window_stays_settled_when_one_opens_in_which_all_are_away() -> None:
    book = ("away 2026-01-12 to 2026-01-13", "every monday", "  x", "2026-01-05 did x")
    assert fates(*book, on="2026-01-13") == [("2026-01-05", "done")]


def test_nothing_counts_before_the_book_begins_or_after_the_day() -> None:
    assert fates("every day", "  x", low="2025-12-01", high="2025-12-31", on="2026-01-03") == []
    assert [when for when, _ in fates("every day", "  x", high="2026-02-01", on="2026-01-02")] == [
        "2026-01-01", "2026-01-02",
    ]  # fmt: skip
    assert fates("every day", "  x", low="2026-01-05", on="2026-01-04") == []


def test_windows_of_a_line_that_hangs_on_when_it_was_done_follow_its_record() -> None:
    book = (
        "5 days after done within 2 days", "  x",
        "2026-01-02 did x", "2026-01-10 did x", "2026-01-12 did x", "2026-01-13 skipped x",
    )  # fmt: skip
    done = [
        ("2026-01-02", "done"), ("2026-01-10", "late"), ("2026-01-12", "early"),
        ("2026-01-13", "skipped"),
    ]  # fmt: skip
    assert fates(*book, on="2026-01-18") == done
    assert fates(*book, on="2026-01-19") == [*done, ("2026-01-19", "open")]
    assert fates(*book, on="2026-01-25") == [*done, ("2026-01-19", "owed")]
    moved = [*book, "2026-01-14 moved x to 2026-01-16"]
    assert fates(*moved, on="2026-01-25") == [*done, ("2026-01-16", "owed")]


def test_line_that_hangs_on_when_it_was_done_has_extras_only_past_its_end() -> None:
    book = (
        "5 days after done", "  x  until 2026-01-12", "2026-01-10 did x",
        "2026-01-14 did x", "2026-01-15 moved x to 2026-01-17", "2026-01-16 worked x 5 min",
    )  # fmt: skip
    assert extras(*book, on="2026-01-20") == ["2026-01-15", "2026-01-16"]
    assert fates(*book, on="2026-01-20") == [("2026-01-10", "late"), ("2026-01-14", "done")]


@pytest.mark.parametrize("cut", [0, 6])
def test_lines_that_follow_each_other_each_count_while_they_hold(cut: int) -> None:
    book = (
        "every monday", "  x  until 2026-01-14", "every 6 days from 2026-01-15", "  x",
        "2026-01-05 did x", "2026-01-20 did x",
    )  # fmt: skip
    low = (date(2026, 1, 1) + timedelta(cut)).isoformat()
    said = [("2026-01-05", "done"), ("2026-01-12", "missed"), ("2026-01-20", "late"),
            ("2026-01-21", "missed"), ("2026-01-27", "owed")]  # fmt: skip
    assert fates(*book, low=low, on="2026-01-28") == said[bool(cut) :]

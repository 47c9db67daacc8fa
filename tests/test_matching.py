"""Matching, status and lateness: laws over random chores and records, and single cases."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from books import day, house, timeline
from hypothesis import example, given
from hypothesis import strategies as st
from whole import current, history, standings

from ledger.household.model import Household
from ledger.keeping.matching import occasions
from ledger.keeping.status import State, standing
from ledger.report.due import due

SINCE = date(2026, 1, 1)

HEADERS = (
    "every day",
    "every monday",
    "every tuesday, friday",
    "every weekend",
    "weekend 1",
    "every week",
    "every 2 weeks on thursday from 2026-01-08",
    "every month on first saturday within 7 days",
    "every month on 1, 15",
    "every month",
    "every 3 days from 2026-01-02 within 2 days",
    "every week during march to april",
)


def _date(offset: int) -> str:
    return (SINCE + timedelta(days=offset)).isoformat()


@st.composite
def record_lines(draw: st.DrawFn) -> str:
    on = draw(st.integers(0, 150))
    verb = draw(st.sampled_from(["did", "did", "did", "did", "skipped", "moved"]))
    if verb == "moved":
        return f"{_date(on)} moved x to {_date(on + draw(st.integers(-3, 40)))}"
    by = draw(st.sampled_from(["", "", " by noor", " by tam"])) if verb == "did" else ""
    return f"{_date(on)} {verb} x{by}"


@st.composite
def kept_books(draw: st.DrawFn) -> tuple[str, ...]:
    """The lines of a chore of one section or two that follow each other, and its record."""
    first, second = draw(st.sampled_from(HEADERS)), draw(st.sampled_from(HEADERS))
    each = draw(st.sampled_from(["", "  by each"]))
    change = _date(draw(st.integers(20, 130)))
    lines = [first, f"    x  5 min{each}"]
    if draw(st.booleans()) and first != second:
        after = (date.fromisoformat(change) + timedelta(days=1)).isoformat()
        lines = [first, f"    x  5 min{each}  until {change}"]
        lines += [second, f"    x  5 min{each}  from {after}"]
    away = ["away 2026-02-10 to 2026-02-20"] if draw(st.booleans()) else []
    record = draw(st.lists(record_lines(), max_size=14))
    return f"since {SINCE}", "person noor", "person tam", *away, *lines, *record


def households() -> st.SearchStrategy[Household]:
    """The households of such books."""
    return kept_books().map(lambda lines: house(*lines))


def people_of(household: Household) -> list[str | None]:
    each = household.chores["x"].routines[0].assignment.form == "each"
    return ["noor", "tam"] if each else [None]


@given(households(), st.integers(0, 170))
@example(
    house(
        "since 2026-01-01", "every month", "    x  5 min",
        "2026-02-02 moved x to 2026-02-03", "2026-02-21 moved x to 2026-02-24",
        "2026-03-14 did x", "2026-03-21 did x",
    ),
    109,
)  # fmt: skip
def test_current_is_the_last_opened_of_the_whole_history(household: Household, offset: int) -> None:
    on = SINCE.toordinal() + offset
    for person in people_of(household):
        line = timeline(household, "x", person)
        opened = [one for one in history(line, household.log, on)[0] if one.first <= on]
        assert current(line, household.log, on) == (opened[-1] if opened else None)


@given(households(), st.integers(0, 150), st.integers(0, 20))
def test_a_stretch_of_occasions_is_that_of_the_whole_history(
    household: Household, offset: int, length: int
) -> None:
    low = SINCE.toordinal() + offset
    on, high = low + length // 2, low + length
    for person in people_of(household):
        line = timeline(household, "x", person)
        whole = {one.window: one for one in history(line, household.log, max(on, high))[0]}
        assert len(whole) == len({window[:2] for window in whole})
        for one in occasions(line, household.log, low, high, high):
            if one.last >= low and one.first <= high:
                assert whole[one.window] == one


@given(households(), st.integers(0, 170))
def test_a_line_settles_one_window_at_most_and_every_line_is_accounted_for(
    household: Household, offset: int
) -> None:
    on = SINCE.toordinal() + offset
    for person in people_of(household):
        found, extras = history(timeline(household, "x", person), household.log, on)
        settled = [one.mark.line for one in found if one.mark is not None]
        assert len(settled) == len(set(settled))
        assert not set(settled) & {mark.line for mark in extras}
        moved = {one.window for one in found if (one.first, one.last) != one.window[:2]}
        lines = [
            index
            for index in household.log.by_chore.get("x", ())
            if household.log.dates[index] <= on
            and (
                person is None
                or not household.log.entries[index].people
                or person in {name.value for name in household.log.entries[index].people}
            )
        ]
        moves = [index for index in lines if household.log.entries[index].to is not None]
        dids = len(lines) - len(moves)
        assert len(settled) + sum(mark.to is None for mark in extras) == dids
        # Several moves may shift one window; each that is no extra shifted one.
        assert len(moved) <= len(moves)


@given(households(), st.integers(0, 170))
def test_occasions_stay_in_order_and_apart_whatever_is_moved(
    household: Household, offset: int
) -> None:
    on = SINCE.toordinal() + offset
    for person in people_of(household):
        found, _ = history(timeline(household, "x", person), household.log, on)
        for earlier, later in pairwise(found):
            assert earlier.first <= earlier.last < later.first


def state(on: str, *lines: str) -> tuple[State, str, str, int] | None:
    household = house("since 2026-03-01", *lines)
    one = standing(timeline(household), day(on))
    if one is None:
        return None
    first, last = date.fromordinal(one.first), date.fromordinal(one.last)
    return one.state, str(first), str(last), one.days_late


WEEKEND = ("every weekend", "    x  5 min")


@pytest.mark.parametrize(
    ("on", "record", "wanted"),
    [
        ("2026-03-07", (), ("due", "2026-03-07", "2026-03-08", 0)),
        ("2026-03-08", (), ("due", "2026-03-07", "2026-03-08", 0)),
        ("2026-03-10", (), ("overdue", "2026-03-07", "2026-03-08", 2)),
        ("2026-03-14", (), ("due", "2026-03-14", "2026-03-15", 0)),
        ("2026-03-10", ("2026-03-09 did x",), ("done", "2026-03-07", "2026-03-08", 0)),
        ("2026-03-14", ("2026-03-13 did x",), ("done", "2026-03-14", "2026-03-15", 0)),
        ("2026-03-09", ("2026-03-08 skipped x",), ("skipped", "2026-03-07", "2026-03-08", 0)),
        (
            "2026-03-12",
            ("2026-03-08 moved x to 2026-03-11",),
            ("overdue", "2026-03-11", "2026-03-11", 1),
        ),
    ],
)
def test_status_on_a_day(
    on: str, record: tuple[str, ...], wanted: tuple[State, str, str, int]
) -> None:
    assert state(on, *WEEKEND, *record) == wanted


def test_lines_of_later_days_do_not_count_yet() -> None:
    assert state("2026-03-07", *WEEKEND, "2026-03-08 did x") == (
        "due", "2026-03-07", "2026-03-08", 0,
    )  # fmt: skip


def test_nothing_is_owed_of_a_window_spent_away() -> None:
    away = "away 2026-03-07 to 2026-03-08"
    assert state("2026-03-09", away, *WEEKEND) is None
    assert state("2026-03-14", away, *WEEKEND) == ("due", "2026-03-14", "2026-03-15", 0)


def test_after_done_counts_from_the_last_line() -> None:
    book = ("14 days after done", "    x  5 min")
    assert state("2026-03-01", *book) == ("due", "2026-03-01", "2026-03-01", 0)
    assert state("2026-03-20", *book) == ("overdue", "2026-03-01", "2026-03-01", 19)
    done = (*book, "2026-03-03 did x")
    assert state("2026-03-16", *done) == ("done", "2026-03-03", "2026-03-03", 0)
    assert state("2026-03-17", *done) == ("due", "2026-03-17", "2026-03-17", 0)
    assert state("2026-03-20", *done) == ("overdue", "2026-03-17", "2026-03-17", 3)


def test_a_daily_chore_a_day_late_outranks_a_yearly_one_a_week_late() -> None:
    household = house(
        "since 2026-01-01",
        "every 12 months on 1 from 2026-03-01", "    yearly  5 min",
        "every 2 days from 2026-03-01 until 2026-03-07", "    daily  5 min",
    )  # fmt: skip
    answer = due(household, day("2026-03-08"))
    assert [(task.chore, task.days_late) for task in answer.late] == [("daily", 1), ("yearly", 7)]
    assert {one.chore.name: one.lateness for one in standings(household, day("2026-03-08"))} == {
        "daily": 1 / 2,
        "yearly": pytest.approx(7 / 365.25),
    }

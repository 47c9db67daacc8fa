"""Turns and learned minutes."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

import pytest
from books import day, house, iso, shares, timeline
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_keeping import PlainBook
from test_matching import SINCE, kept_books

from ledger.calendar.windows import Timeline, Window
from ledger.household.model import Household
from ledger.keeping.minutes import differs, learned_minutes
from ledger.keeping.occasion import Occasion
from ledger.keeping.turns import people_for

PEOPLE = ("person noor", "person tam", "person edie")


def turns(header: str, *more: str, low: str, high: str, by: str = "noor then tam") -> list[str]:
    household = house("since 2026-03-01", *PEOPLE, header, f"    x  5 min  by {by}", *more)
    line = timeline(household)
    windows = line.between(day(low), day(high))
    found = [people_in(line, window) for window in windows]
    assert all(len(people) == 1 for people in found)
    return [people[0] for people in found]


def people_in(line: Timeline, window: Window) -> tuple[str, ...]:
    """Who does a window of which the record says nothing."""
    return people_for(Occasion(line, window, window.first, window.last, window.first))


def test_turns_alternate_window_by_window() -> None:
    assert turns("every monday", low="2026-03-02", high="2026-03-30") == [
        "noor", "tam", "noor", "tam", "noor",
    ]  # fmt: skip


def test_turns_are_the_same_wherever_they_are_asked_from() -> None:
    whole = turns("every day", low="2026-03-01", high="2026-06-30")
    assert turns("every day", low="2026-06-01", high="2026-06-30") == whole[-30:]


def test_person_who_is_away_is_passed_over_and_the_count_goes_on() -> None:
    away = "away 2026-03-15 to 2026-03-17 by noor"
    assert turns("every monday", away, low="2026-03-02", high="2026-03-30") == [
        "noor", "tam", "tam", "tam", "noor",
    ]  # fmt: skip


def test_turn_of_who_rests_all_days_of_a_window_goes_to_the_next_vital_or_not() -> None:
    rest = "rest 2026-03-16 by noor"
    for header in ("every monday", "every monday vital"):
        assert turns(header, rest, low="2026-03-02", high="2026-03-23") == [
            "noor", "tam", "tam", "tam",
        ]  # fmt: skip
    # Two days of rest leave the others of a week.
    assert turns("every week", rest, low="2026-03-09", high="2026-03-22") == ["noor", "tam"]


def test_turn_stays_where_nobody_is_there_and_windows_of_such_days_are_counted() -> None:
    away = "away 2026-03-09 to 2026-03-10"
    assert turns("every monday", away, low="2026-03-02", high="2026-03-23") == [
        "noor", "tam", "noor", "tam",
    ]  # fmt: skip


def test_moved_window_keeps_its_turn() -> None:
    record = ("2026-03-02 did x", "2026-03-09 moved x to 2026-03-12")
    away = "away 2026-03-12 to 2026-03-13 by tam"
    household = house("since 2026-03-01", *PEOPLE, away, "every monday",
                      "    x  5 min  by noor then tam", *record)  # fmt: skip
    (share,) = shares(household, day("2026-03-12"))
    assert share.standing is not None
    assert (share.standing.first, people_for(share.standing)) == (day("2026-03-12"), ("tam",))


@pytest.mark.parametrize(("on", "who"), [("2026-03-01", "noor"), ("2026-03-07", "tam")])
def test_turns_after_done_go_by_the_lines_before_the_window(on: str, who: str) -> None:
    household = house("since 2026-03-01", *PEOPLE, "3 days after done",
                      "    x  5 min  by noor then tam", "2026-03-02 did x by edie")  # fmt: skip
    (share,) = shares(household, day(on))
    assert share.standing is not None
    assert people_for(share.standing) == (who,)


def test_turns_after_done_go_by_the_lines_up_to_the_day_asked() -> None:
    away, done = "away 2026-03-01 to 2026-03-04", "2026-03-03 did x"
    household = house("since 2026-03-01", *PEOPLE, away, "3 days after done",
                      "    x  by noor then tam", done)  # fmt: skip
    (share,) = shares(household, day("2026-03-02"))
    assert [people_for(one) for one in share.ahead()] == [("noor",)]


@settings(max_examples=100)
@given(kept_books(), st.integers(0, 170))
def test_people_of_what_is_listed_are_those_that_the_rules_name(
    lines: tuple[str, ...], offset: int
) -> None:
    on = SINCE.toordinal() + offset
    listed = [one for share in shares(house(*lines), on) if (one := share.shown) is not None]
    expected = [one.who for one in PlainBook("\n".join(lines), on).listed(on)]
    assert [people_for(one) for one in listed] == expected


def test_three_take_turns() -> None:
    by = "edie then noor then tam"
    assert turns("every weekend", low="2026-03-01", high="2026-03-29", by=by) == [
        "edie", "noor", "tam", "edie", "noor",
    ]  # fmt: skip


HEADERS = (
    "every day",
    "every tuesday, friday",
    "every weekend",
    "every 2 weeks from 2026-03-04",
    "every 5 days within 4 days from 2026-03-02",
    "every 6 days within 6 days from 2026-02-26",
    "every month on 1, 15 within 4 days",
    "every week during march to may",
    "every weekday except wednesday",
    "2 times every week",
)
absences = st.lists(
    st.tuples(st.sampled_from(["noor", "tam", "edie", ""]), st.integers(0, 90), st.integers(0, 20)),
    max_size=4,
)


@given(
    st.lists(st.sampled_from(HEADERS), min_size=1, max_size=2, unique=True),
    st.permutations(["noor", "tam", "edie"]),
    absences,
)
def test_turn_falls_to_the_next_in_order_who_is_home_on_a_day_of_the_window(
    headers: list[str], order: list[str], away: list[tuple[str, int, int]]
) -> None:
    start = day("2026-03-01")
    gone = [
        f"away {iso(start + first)} to {iso(start + first + length)}{f' by {who}' if who else ''}"
        for who, first, length in away
    ]
    chore = f"    x  5 min  by {' then '.join(order)}"
    sections = [line for header in headers for line in (header, chore)]
    line = timeline(house("since 2026-03-01", *PEOPLE, *gone, *sections))
    for index, window in enumerate(line.between(start, start + 120)):
        days = range(window.first, window.last + 1)
        turn = order[index % 3 :] + order[: index % 3]
        home = [
            person
            for person in turn
            if not all(
                any(
                    who in (person, "") and start + first <= one <= start + first + length
                    for who, first, length in away
                )
                for one in days
            )
        ]
        found = people_in(line, window)
        assert found == ((home or turn)[0],)


def learned(household: Household, on: str) -> tuple[int, ...] | None:
    """The timings that a chore's learned figure is made of by a day, the latest first."""
    found = learned_minutes(household, "x", day(on))
    return None if found is None else found.timed


def timed(minutes: Sequence[int | None]) -> list[str]:
    lines = []
    for index, amount in enumerate(minutes):
        text = f" {amount} min" if amount else ""
        lines.append(f"2026-03-{index + 1:02} did x{text}")
    return lines


@given(st.lists(st.none() | st.integers(1, 300), max_size=31))
def test_learned_minutes_are_the_median_of_the_last_nine_timed(
    minutes: list[int | None],
) -> None:
    """Against the standard library: `statistics.median`."""
    household = house("since 2026-03-01", "every day", "    x  5 min", *timed(minutes))
    found = learned_minutes(household, "x", day("2026-04-30"))
    known = [amount for amount in minutes if amount]
    if len(known) < 5:
        assert found is None
    else:
        assert found is not None
        assert found.minutes == median(known[-9:])
        assert found.lines == min(len(known), 9)


def test_learned_minutes_of_a_day_know_nothing_of_later_days() -> None:
    household = house("since 2026-03-01", "every day", "    x  5 min", *timed([10] * 5 + [90] * 5))
    assert learned(household, "2026-03-04") is None
    assert learned(household, "2026-03-05") == (10,) * 5
    assert learned(household, "2026-03-10") == (90,) * 5 + (10,) * 4


@settings(max_examples=200)
@given(kept_books(), st.lists(st.integers(0, 150), max_size=6), st.integers(100, 170))
def test_timings_are_the_minutes_of_a_line_and_those_worked_on_what_it_settled(
    lines: tuple[str, ...], days: list[int], offset: int
) -> None:
    start = SINCE.toordinal()
    dated = [f"{iso(start + one)} did x {7 + one} min" for one in sorted(days)]
    book = [*lines, *dated, *(f"{iso(start + one)} did x 5 min by noor" for one in range(0, 20, 5))]
    plain = PlainBook("\n".join(book), start + offset)
    timings = [one.minutes for one in plain.timings("x", start + offset)]
    found = learned(house(*book), iso(start + offset))
    assert found == (tuple(timings[:-10:-1]) if len(timings) >= 5 else None)


DAILY = ("since 2026-03-01", *PEOPLE, "every day", "    x  30 min  by each of noor, tam")
FIVE = tuple(f"2026-03-0{n} did x 10 min" for n in range(1, 6))


def test_untimed_line_is_no_timing_whatever_was_worked() -> None:
    lines = ("2026-03-06 worked x 20 min", "2026-03-06 did x", "2026-03-07 did x 4 min")
    assert learned(house(*DAILY, *FIVE, *lines), "2026-03-07") == (4, 10, 10, 10, 10, 10)


def test_of_several_windows_that_one_line_settles_the_most_worked_counts() -> None:
    lines = (
        "2026-03-06 worked x 20 min by noor",
        "2026-03-06 worked x 8 min by tam",
        "2026-03-06 did x 5 min",
        "2026-03-07 worked x 6 min",
        "2026-03-07 did x 5 min",
    )
    assert learned(house(*DAILY, *FIVE, *lines), "2026-03-07") == (11, 25, 10, 10, 10, 10, 10)


def test_chore_that_a_line_names_twice_is_timed_twice_and_worked_on_once() -> None:
    lines = ("2026-03-06 worked x 20 min", "2026-03-06 did x 5 min, x 4 min, x")
    found = learned(house(*DAILY, *FIVE, *lines), "2026-03-06")
    assert found is not None
    # FORMAT.md, section 15: the first of the two has the worked minutes.
    assert sorted(found[:2]) == [4, 25]


def test_minutes_differ_by_more_than_a_quarter_and_two_minutes() -> None:
    assert not differs(4, 6)
    assert differs(4, 6.5)
    assert not differs(40, 50)
    assert differs(40, 51)
    assert differs(None, 10)

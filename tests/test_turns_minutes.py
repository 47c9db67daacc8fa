"""Turns and learned minutes."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

from books import day, house, iso, timeline
from hypothesis import given
from hypothesis import strategies as st

from ledger.keeping.minutes import differs, learned_minutes
from ledger.keeping.turns import people_for

PEOPLE = ("person noor", "person tam", "person edie")


def turns(header: str, *more: str, low: str, high: str, by: str = "noor then tam") -> list[str]:
    household = house("since 2026-03-01", *PEOPLE, header, f"    x  5 min  by {by}", *more)
    line = timeline(household)
    windows = line.between(day(low), day(high))
    found = [people_for(line, w.routine, w.first, w.first, w.last) for w in windows]
    assert all(len(people) == 1 for people in found)
    return [people[0] for people in found]


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
        found = people_for(line, window.routine, window.first, window.first, window.last)
        assert found == ((home or turn)[0],)


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
    learned = learned_minutes(household.log, "x", day("2026-04-30"))
    known = [amount for amount in minutes if amount]
    if len(known) < 5:
        assert learned is None
    else:
        assert learned is not None
        assert learned.minutes == median(known[-9:])
        assert learned.lines == min(len(known), 9)


def test_learned_minutes_of_a_day_know_nothing_of_later_days() -> None:
    household = house("since 2026-03-01", "every day", "    x  5 min", *timed([10] * 5 + [90] * 5))
    on = [learned_minutes(household.log, "x", day(f"2026-03-{n:02}")) for n in (4, 5, 10)]
    assert on[0] is None
    assert [one.minutes for one in on if one] == [10, 90]


def test_minutes_differ_by_more_than_a_quarter_and_two_minutes() -> None:
    assert not differs(4, 6)
    assert differs(4, 6.5)
    assert not differs(40, 50)
    assert differs(40, 51)
    assert differs(None, 10)

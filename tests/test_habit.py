"""Habit: what has become one, and what is advised to begin or to pause."""

from __future__ import annotations

import pytest
from books import day, house, iso
from hypothesis import given, settings
from hypothesis import strategies as st
from test_review import SUNDAY, asked, dates

from ledger.render.review_text import review_text
from ledger.report.chore_record import Kept
from ledger.report.habit import Advice, habit_of, has_held, minutes_a_week, percent
from ledger.report.review import review

# ------------------------------------------------------------------------------------- the habit


@pytest.mark.parametrize(
    ("rate", "days", "habit"),
    [
        ((4, 5), 66, "habit"), ((4, 5), 65, "young"), ((4, 4), 300, "few"), ((0, 0), 300, "few"),
        ((7, 9), 300, "below"), ((0, 5), 10, "below"), ((80, 100), 66, "habit"),
        ((799, 1000), 66, "below"),
    ],
)  # fmt: skip
def test_habit_is_four_in_five_over_eight_weeks_after_66_days(
    rate: tuple[int, int], days: int, habit: str
) -> None:
    """66 days: typical in Lally et al., "How are habits formed: modelling habit formation in the
    real world", European Journal of Social Psychology 40, 2010 (reported)."""
    assert habit_of(Kept(*rate), days) == habit


@given(st.integers(0, 400), st.integers(0, 400))
def test_percent_is_shown_to_meet_a_bound_only_where_it_does(kept: int, missed: int) -> None:
    rate = Kept(kept, kept + missed)
    assert has_held(rate) == (5 * kept >= 4 * rate.counted)
    assert (percent(rate) == 100) == (missed == 0)


def test_container_has_been_in_the_book_since_its_first_line() -> None:
    answer = asked(
        "every day", "  x  until 2026-02-01", "  y  from 2026-03-01", "  z  paused",
        "every monday from 2026-03-02", "  w", on=SUNDAY,
    )  # fmt: skip
    assert [one.days for one in answer.containers] == [67, 7]


def test_rate_of_a_container_is_that_of_56_days() -> None:
    record = [f"{when} did x" for when in dates("2026-01-11", 57)]
    one = asked("every day", "  x", *record[1:]).containers[0]
    assert one.eight_weeks == (56, 56)
    assert asked("every day", "  x", *record[2:]).containers[0].eight_weeks == (55, 56)


# ------------------------------------------------------------------------------------ the advice

DAILY = ("since 2026-01-05", "every day", "  x  5 min")
MONDAY = day("2026-01-05")


def weekly(*numbers: int) -> list[str]:
    """Record lines of weeks from Monday 5 January on, in each of which a daily chore is done on
    so many days."""
    return [
        f"{iso(MONDAY + 7 * week + n)} did x"
        for week, number in enumerate(numbers)
        for n in range(number)
    ]


def advised(*numbers: int, more: tuple[str, ...] = (), off: int = 0) -> Advice:
    """The advice at the end of the last of such weeks, or some days on."""
    household = house(*DAILY, *more, *weekly(*numbers))
    on = MONDAY + 7 * len(numbers) - 1 + off
    return review(household, on, 1).advice


@pytest.mark.parametrize(
    ("numbers", "kind", "weeks"),
    [
        ((7,) * 7, "early", 1),
        ((7,), "early", 7),
        ((7,) * 8, "carry-on", 2),
        ((7,) * 9, "carry-on", 1),
        ((7,) * 10, "begin", None),
        # Of a week of seven days five are 71%, six 86%.
        ((6,) * 10, "begin", None),
        ((7, 7, 7, 7, 7, 5, 7, 7, 7, 7), "begin", None),
        ((7, 7, 7, 7, 7, 7, 5, 7, 7, 7), "carry-on", 1),
        # The last Sunday is still open, so that five would be five of six.
        ((7, 7, 7, 7, 7, 7, 7, 7, 7, 4), "carry-on", 4),
        ((0, 0, 3, 7, 7, 7, 7, 7, 7, 7), "carry-on", 1),
        ((7, 7, 5, 5, 5, 5, 5, 5, 5, 5), "pause", None),
        ((7, 7) + (0,) * 8, "silent", None),
    ],
)
def test_advice_goes_by_eight_weeks_then_ten_and_the_last_four(
    numbers: tuple[int, ...], kind: str, weeks: int | None
) -> None:
    advice = advised(*numbers)
    assert (advice.kind, advice.weeks) == (kind, weeks)


@settings(max_examples=60)
@given(st.lists(st.sampled_from([0, 4, 5, 6, 7]), min_size=1, max_size=14), st.integers(1, 3))
def test_weeks_more_are_as_many_as_are_wanted(numbers: list[int], off: int) -> None:
    """Asked once the last of the weeks is over, so that no day of it is open."""
    found = advised(*numbers, off=off)
    if found.kind not in ("carry-on", "early"):
        return
    assert found.weeks is not None
    later = [advised(*numbers, *[7] * n).kind for n in range(1, found.weeks + 1)]
    if found.kind == "early":
        assert later[-1] != "early"
    else:
        assert later == ["carry-on"] * (found.weeks - 1) + ["begin"]


def test_days_of_a_week_that_is_not_over_say_nothing_of_ten_weeks() -> None:
    assert advised(*(7,) * 10, off=3).kind == "begin"


def test_skipped_windows_say_nothing_for_or_against() -> None:
    lines = tuple(f"{when} skipped x" for when in dates("2026-01-05", 70))
    assert advised(*(0,) * 10, more=lines).kind == "begin"


@pytest.mark.parametrize(
    ("more", "container", "minutes"),
    [
        ((), "every day", 35),
        (("every monday", "  y  20 min"), "every monday", 20),
        # Equal rates: the one of most minutes.
        (("every monday", "  y  20 min", "every tuesday", "  z  50 min"), "every tuesday", 50),
        # Four windows in eight weeks are too few.
        (("every 2 weeks on monday from 2026-01-05", "  y  20 min"), "every day", 35),
        # What is over cannot be paused.
        (("every monday", "  y  20 min  until 2026-03-10"), "every day", 35),
        (("every monday", "  y  20 min", "  z"), "every monday", None),
    ],
)
def test_container_of_the_lowest_rate_is_the_one_to_pause(
    more: tuple[str, ...], container: str, minutes: float | None
) -> None:
    advice = advised(*(5,) * 10, more=more)
    assert advice == ("pause", container, None, minutes, None)


def test_no_container_is_to_be_paused_where_each_comes_round_too_rarely() -> None:
    household = house(
        "since 2026-01-05", "every 2 weeks on monday from 2026-01-05", "  x  20 min",
        "2026-02-02 did x",
    )  # fmt: skip
    answer = review(household, day("2026-03-15"), 1)
    assert answer.advice == ("pause", None, None, None, None)
    assert "No container that is still going has slipped so often" in " ".join(
        review_text(answer).split()
    )


@pytest.mark.parametrize(
    ("more", "advice"),
    [
        ((), (None, None, None)),
        (("every week paused", "  y  20 min", "every monday paused", "  z  8 min", "  w  5 min"),
         ("every monday", None, 13)),
        (("every week paused", "  y  20 min", "every tuesday", "  z  8 min  paused"),
         ("every tuesday", "z", 8)),
        # Minutes that are not known come last.
        (("every week paused", "  y  20 min", "every monday paused", "  z"),
         ("every week", None, 20)),
        (("every week paused", "  y"), ("every week", None, None)),
        # What is over, or has another line that is going, cannot begin.
        (("every week paused", "  y  20 min  until 2026-03-01"), (None, None, None)),
        (("once from 2026-01-05 to 2026-03-01 paused", "  y  20 min"), (None, None, None)),
        (("once from 2026-01-05 to 2026-04-01 paused", "  y  20 min"),
         ("once from 2026-01-05 to 2026-04-01", None, 0)),
        (("every week paused", "  x  20 min"), (None, None, None)),
        (("person ada", "person bo", "every week paused", "  y  5 min  by each"),
         ("every week", None, 10)),
    ],
)  # fmt: skip
def test_paused_section_or_chore_of_fewest_minutes_is_the_one_to_begin(
    more: tuple[str, ...], advice: tuple[str | None, str | None, float | None]
) -> None:
    assert advised(*(7,) * 10, more=more) == ("begin", *advice, None)


def test_minutes_a_week_go_by_how_often_a_line_comes_round() -> None:
    household = house("every day", "  x  5 min", "every month", "  y  30 min")
    lines = [household.chores[name].routines[0] for name in "xy"]
    assert minutes_a_week(household, lines) == pytest.approx(35 + 30 * 12 * 7 / 365.25)

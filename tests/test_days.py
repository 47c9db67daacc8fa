"""Days: each way to say a day is that day, and what may be two days is refused with both."""

from __future__ import annotations

from datetime import date, timedelta

import click
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.cli.days import day_named
from ledger.text.values import DAYS, MONTHS

WEDNESDAY = date(2026, 3, 4)

SAID = [
    # what is typed, the next one, the last one
    ("wed", "2026-03-04", "2026-03-04"),
    ("sunday", "2026-03-08", "2026-03-01"),
    ("last sunday", "2026-03-01", "2026-03-01"),
    ("Last  Wednesday", "2026-02-25", "2026-02-25"),
    ("next wednesday", "2026-03-11", "2026-03-11"),
    ("next fri", "2026-03-06", "2026-03-06"),
    ("3 march", "2027-03-03", "2026-03-03"),
    ("4 March", "2026-03-04", "2026-03-04"),
    ("march 5", "2026-03-05", "2025-03-05"),
    ("5th mar", "2026-03-05", "2025-03-05"),
    ("March 3, 2026", "2026-03-03", "2026-03-03"),
    ("3 sept 2020", "2020-09-03", "2020-09-03"),
    ("29 february", "2028-02-29", "2024-02-29"),
    ("3.3.2026", "2026-03-03", "2026-03-03"),
    ("4.3.2026", "2026-03-04", "2026-03-04"),
    ("5.3.", "2026-03-05", "2025-03-05"),
    ("5.3", "2026-03-05", "2025-03-05"),
    ("3/3", "2027-03-03", "2026-03-03"),
    ("3/25", "2026-03-25", "2025-03-25"),
    ("25/3/2026", "2026-03-25", "2026-03-25"),
    ("in 2 weeks", "2026-03-18", "2026-03-18"),
    ("in a week", "2026-03-11", "2026-03-11"),
    ("2 days ago", "2026-03-02", "2026-03-02"),
    ("1 month ago", "2026-02-04", "2026-02-04"),
    ("in 1 year", "2027-03-04", "2027-03-04"),
]


@pytest.mark.parametrize(("text", "coming", "past"), SAID)
def test_day_is_the_next_one_or_the_last_one(text: str, coming: str, past: str) -> None:
    assert day_named(text, WEDNESDAY).isoformat() == coming
    assert day_named(text, WEDNESDAY, past=True).isoformat() == past


@pytest.mark.parametrize(
    ("text", "both"),
    [
        ("3/4", '"3/4" may be 3 April or 4 March; write 2026-04-03 or 2026-03-04'),
        ("3/4/2020", '"3/4/2020" may be 3 April or 4 March; write 2020-04-03 or 2020-03-04'),
    ],
)
def test_what_may_be_two_days_is_refused_with_both(text: str, both: str) -> None:
    with pytest.raises(click.BadParameter) as told:
        day_named(text, WEDNESDAY)
    assert told.value.message == both


@pytest.mark.parametrize(
    "text",
    ["31 april", "0 march", "3.13.2026", "13/13", "30/2/2026", "next week", "next", "last", "ago",
     "in two", "march", "march 2026", "3 marchy", "3 mar 26", "3.3.26", "3/3.2026", "12", "3:30",
     "29 february 2026", "yesterday evening", "in 2 fortnights", "٣ march"],
)  # fmt: skip
def test_what_is_no_day_is_told_what_to_write(text: str) -> None:
    with pytest.raises(click.BadParameter, match="is no day; write a date such as 2026-03-04"):
        day_named(text, WEDNESDAY)


@pytest.mark.parametrize("text", ["in 9999 years", "9999 months ago", "1 march 1969"])
def test_day_outside_of_all_books_is_told_so(text: str) -> None:
    with pytest.raises(click.BadParameter, match="is no day of a book"):
        day_named(text, WEDNESDAY)


DATES = st.dates(date(1980, 1, 1), date(2200, 1, 1))


@given(DATES, DATES)
def test_a_day_written_out_in_any_way_is_that_day(day: date, today: date) -> None:
    month = MONTHS[day.month - 1]
    for text in (
        day.isoformat(),
        f"{day.day} {month} {day.year}",
        f"{month[:3]} {day.day}, {day.year}",
        f"{day.day}.{day.month}.{day.year}",
    ):
        assert day_named(text, today) == day_named(text, today, past=True) == day


@given(DATES, st.sampled_from(DAYS))
def test_a_day_of_a_name_is_the_nearest_of_that_name(today: date, name: str) -> None:
    coming, last = day_named(name, today), day_named(name, today, past=True)
    assert DAYS[coming.weekday()] == DAYS[last.weekday()] == name
    assert today <= coming < today + timedelta(7)
    assert today - timedelta(7) < last <= today
    assert day_named(f"next {name}", today) == (coming if coming > today else coming + timedelta(7))
    assert day_named(f"last {name}", today) == (last if last < today else last - timedelta(7))


@given(DATES, DATES)
def test_a_day_without_a_year_is_the_nearest_on_its_side(day: date, today: date) -> None:
    text = f"{day.day} {MONTHS[day.month - 1]}"
    coming, last = day_named(text, today), day_named(text, today, past=True)
    assert (coming.day, coming.month) == (last.day, last.month) == (day.day, day.month)
    assert last <= today <= coming
    if (day.day, day.month) != (29, 2):
        assert (coming - last).days in (0, 365, 366)

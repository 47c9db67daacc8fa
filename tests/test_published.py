"""The calendar against published dates: RFC 5545, Unicode CLDR, ISO 8601, and arithmetic."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from books import day, house, spans, timeline

from ledger.calendar.occurrences import period_days
from ledger.calendar.week import month_index, week_first, weekday, weekend_number
from ledger.text.tree import Cadence
from ledger.text.values import DAYS

FOLDER = Path(__file__).parent / "published"


def published(name: str) -> dict[str, Any]:
    document: dict[str, Any] = json.loads((FOLDER / name).read_text("utf-8"))
    return document


RECORDS: dict[str, dict[str, Any]] = {
    record["id"]: record for record in published("recurrence.json")["records"]
}

SUNDAY_WEEK = "week starts sunday"
EXPRESSIBLE: dict[str, tuple[str, ...]] = {
    "daily-10": ("every day",),
    "daily-until-24-dec": ("every day",),
    "daily-every-2-days": ("every 2 days from 1997-09-02",),
    "daily-every-10-days-5": ("every 10 days from 1997-09-02",),
    "january-daily-yearly-form": ("every day during january to january",),
    "january-daily-daily-form": ("every day during january to january",),
    "weekly-10": ("every tuesday",),
    "weekly-until-24-dec": ("every week on tuesday",),
    "weekly-every-2-weeks": (SUNDAY_WEEK, "every 2 weeks on tuesday from 1997-09-02"),
    "tue-thu-until": (SUNDAY_WEEK, "every tuesday, thursday"),
    "tue-thu-count": (SUNDAY_WEEK, "every week on tuesday, thursday"),
    "mon-wed-fri-every-2-weeks-until": (
        SUNDAY_WEEK, "every 2 weeks on monday, wednesday, friday from 1997-09-01",
    ),
    "tue-thu-every-2-weeks-8": (
        SUNDAY_WEEK, "every 2 weeks on tuesday, thursday from 1997-09-02",
    ),
    "first-friday-10": ("every month on first friday",),
    "first-friday-until": ("every month on first friday",),
    "first-last-sunday-every-2-months-10": (
        "every 2 months on first sunday, last sunday from 1997-09-07",
    ),
    "days-2-and-15-10": ("every month on 2, 15",),
    "first-and-last-day-10": ("every month on 1, last",),
    "days-10-to-15-every-18-months": (
        "every 18 months on 10, 11, 12, 13, 14, 15 from 1997-09-10",
    ),
    "tuesdays-every-2-months": ("every 2 months on tuesday from 1997-09-02",),
    "june-july-10": ("every june, july on 10",),
    "jan-feb-mar-every-2-years-10": (
        "every 24 months on 10 from 1997-01-01",
        "every 24 months on 10 from 1997-02-01",
        "every 24 months on 10 from 1997-03-01",
    ),
    "march-thursdays": ("every march on thursday",),
    "summer-thursdays": ("every thursday during june to august",),
    "daily-times-dropped": ("every day",),
    "every-2-weeks-week-starts-monday": (
        "week starts monday", "every 2 weeks on tuesday, sunday from 1997-08-05",
    ),
    "every-2-weeks-week-starts-sunday": (
        SUNDAY_WEEK, "every 2 weeks on tuesday, sunday from 1997-08-05",
    ),
    "days-15-and-30-no-30-february": ("every month on 15, 30",),
}  # fmt: skip
"""Each RFC record as a book says it: settings, then the sections of one chore."""

NOT_EXPRESSIBLE = {
    "second-last-monday-6": "a weekday is counted from the start of a month, or is its last",
    "third-last-day": "of the days counted from a month's end the format has only the last",
    "days-1-100-200-every-3-years": "days are not counted within a year",
    "monday-20-of-year": "weekdays are not counted within a year",
    "monday-of-week-20": "weeks of a year have no numbers in a book",
    "friday-13": "a day that is both a weekday and a day of the month has no word",
    "saturday-after-first-sunday": "a weekday within some days of the month has no word",
    "us-election-day": "a weekday within some days of the month has no word",
    "third-tue-wed-thu": "days of several names are not counted together",
    "second-last-weekday": "days of several names are not counted together",
}


def test_every_record_of_the_rfc_is_expressed_or_said_not_to_be() -> None:
    assert EXPRESSIBLE.keys() | NOT_EXPRESSIBLE.keys() == RECORDS.keys()
    assert (len(EXPRESSIBLE), len(NOT_EXPRESSIBLE), len(RECORDS)) == (28, 10, 38)


@pytest.mark.parametrize("name", EXPRESSIBLE)
def test_section_gives_exactly_the_dates_of_the_rfc(name: str) -> None:
    """RFC 5545 (iCalendar), section 3.8.5.3, "Recurrence Rule", September 2009."""
    record = RECORDS[name]
    dates = [day(text) for text in record["dates"]]
    lines = [line for line in EXPRESSIBLE[name] if line.startswith("week ")]
    for header in EXPRESSIBLE[name]:
        if not header.startswith("week "):
            until = "" if record["truncated"] else f" until {record.get('until_date')}"
            if until.endswith("None"):
                # A rule that ends by a count ends, in a book, on the last of its dates.
                until = f" until {record['dates'][-1]}"
            lines += [header + until, "    x  5 min"]
    windows = timeline(house(f"since {record['dtstart']}", *lines)).between(0, day("2020-12-31"))
    found = spans(windows)
    if record["truncated"]:
        assert len(found) > len(dates)
        found = found[: len(dates)]
    assert found == [(one, one) for one in dates]


WEEKENDS = published("weekends.json")


def test_weekends_are_the_saturdays_of_the_months_and_carry_their_numbers() -> None:
    """weekends.json: Saturdays of 2020 to 2040 by arithmetic (python-dateutil, calendar)."""
    household = house("since 2020-01-01", "every weekend", "    x  5 min")
    found = spans(timeline(household).between(day("2020-01-04"), day("2040-12-31")))
    saturdays = [
        (date(int(year), month, one).toordinal(), number)
        for year, months in WEEKENDS["saturdays"].items()
        for month, days in enumerate(months, 1)
        for number, one in enumerate(days, 1)
    ]
    assert len(saturdays) == 1096
    assert found == [(first, first + 1) for first, _ in saturdays]
    assert [weekend_number(first) for first, _ in found] == [number for _, number in saturdays]


@pytest.mark.parametrize("number", ["1", "2", "3", "4", "5", "last"])
def test_numbered_weekends_are_those_saturdays(number: str) -> None:
    """weekends.json, as above."""
    household = house("since 2020-01-01", f"weekend {number}", "    x  5 min")
    found = [first for first, _ in spans(timeline(household).between(0, day("2040-12-31")))]
    wanted = []
    for year, months in WEEKENDS["saturdays"].items():
        for month, days in enumerate(months, 1):
            index = -1 if number == "last" else int(number) - 1
            if index < len(days):
                wanted.append(date(int(year), month, days[index]).toordinal())
    assert found == wanted


@pytest.mark.parametrize("numbers", [(1,), (5,), (1, 3), (2, 5), (-1,), (5, -1)])
def test_period_of_numbered_weekends_is_their_mean_distance(numbers: tuple[int, ...]) -> None:
    """weekends.json, as above: twenty-one years of them."""
    wanted = sum(
        len({days[n if n < 0 else n - 1] for n in numbers if n <= len(days)})
        for months in WEEKENDS["saturdays"].values()
        for days in months
    )
    period = period_days(Cadence("numbered-weekend", weekends=numbers))
    assert period == pytest.approx(21 * 365.25 / wanted, rel=0.01)


def test_weekend_5_comes_in_as_many_months_a_year_as_have_five_saturdays() -> None:
    """weekends.json, as above."""
    household = house("since 2020-01-01", "weekend 5", "    x  5 min")
    found = [first for first, _ in spans(timeline(household).between(0, day("2040-12-31")))]
    for year, months in WEEKENDS["months_with_five_saturdays"].items():
        assert sum(date.fromordinal(first).year == int(year) for first in found) == months
    assert len({month_index(first) for first in found}) == len(found)


@pytest.mark.parametrize("territory", published("weekdays.json")["territories"].items())
def test_weeks_and_weekends_of_every_territory(territory: tuple[str, list[int]]) -> None:
    """Unicode CLDR 47, supplemental week data: first day, first and last day of the weekend."""
    _, (start, first, last, _) = territory
    names = [DAYS[(first + n) % 7] for n in range((last - first) % 7 + 1)]
    household = house(
        "since 2026-01-01",
        f"week starts {DAYS[start]}",
        f"weekend is {', '.join(names)}",
        "every week",
        "    x  5 min",
        "every weekend",
        "    y  5 min",
    )
    weeks = spans(timeline(household).between(day("2026-01-10"), day("2027-01-10")))
    weekends = spans(timeline(household, "y").between(day("2026-01-10"), day("2027-01-10")))
    assert len(weeks) >= 52
    assert {(weekday(one), other - one) for one, other in weeks} == {(start, 6)}
    assert {(weekday(one), weekday(other)) for one, other in weekends} == {(first, last)}


def test_there_are_250_territories() -> None:
    assert len(published("weekdays.json")["territories"]) == 250


def test_weeks_begin_as_iso_8601_numbers_them() -> None:
    """ISO 8601:2000(E), 5.2.2: week 1 holds the year's first Thursday; rows of iso-weeks.json
    name the standard, its summary, Python's own tests, or the rule they are worked out by."""
    rows = published("iso-weeks.json")["rows"]
    assert len(rows) == 58
    for text, year, week, number, _ in rows:
        monday = week_first(day(text), 0)
        thursday = date.fromordinal(monday + 3)
        first_monday = week_first(date(thursday.year, 1, 4).toordinal(), 0)
        assert (monday - first_monday) // 7 + 1 == week
        assert year in (None, thursday.year)
        assert number in (None, day(text) - monday + 1)


def test_long_years_have_53_weeks() -> None:
    """ISO long years of a 400-year cycle: Python's own tests, after R. H. van Gent's page."""
    long_years = []
    for year in range(2000, 2400):
        first = week_first(date(year, 1, 4).toordinal(), 0)
        following = week_first(date(year + 1, 1, 4).toordinal(), 0)
        if (following - first) // 7 == 53:
            long_years.append(year - 2000)
    assert long_years == published("iso-weeks.json")["long_years"]

"""The calendar against published dates: RFC 5545, Unicode CLDR, ISO 8601, and arithmetic."""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from books import day, house, spans, timeline
from dateutil.rrule import rrulestr

from ledger.calendar.occurrences import period_days
from ledger.calendar.week import month_index, week_first, weekday, weekend_number
from ledger.text.parts import Cadence
from ledger.text.values import DAYS

FOLDER = Path(__file__).parent / "published"


def published(name: str) -> dict[str, Any]:
    document: dict[str, Any] = json.loads((FOLDER / name).read_text("utf-8"))
    return document


RECORDS: dict[str, dict[str, Any]] = {
    record["id"]: record for record in published("recurrence.json")["records"]
}

SUNDAY_WEEK = "week starts sunday"
IN_PLAIN_WORDS: dict[str, tuple[str, ...]] = {
    "daily-10": ("every day",),
    "daily-until-24-dec": ("every day",),
    "daily-every-2-days": ("every 2 days from 1997-09-02",),
    "daily-every-10-days-5": ("every 10 days from 1997-09-02",),
    "january-daily-yearly-form": ("every day during january",),
    "january-daily-daily-form": ("every day during january",),
    "weekly-10": ("every tuesday",),
    "weekly-until-24-dec": ("every tuesday",),
    "weekly-every-2-weeks": (SUNDAY_WEEK, "every 2 weeks on tuesday from 1997-09-02"),
    "tue-thu-until": (SUNDAY_WEEK, "every tuesday, thursday"),
    "tue-thu-count": (SUNDAY_WEEK, "every tuesday, thursday"),
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

LONG_MONTHS = "january, march, may, july, august, october, december"
SHORT_MONTHS = "april, june, september, november"


def days_before_last(name: str, days: int, within: int = 1) -> tuple[str, ...]:
    """Named days: those that begin so many days before the last of each month, up to 2099. A book
    counts from a month's first day, so months of one length each have a line."""
    februaries = ((year, 29 if year == 1996 else 28) for year in range(1996, 2000))
    lines = (
        (f"every {LONG_MONTHS} on {31 - days}", ""),
        (f"every {SHORT_MONTHS} on {30 - days}", ""),
        *(
            (f"every 48 months on {last - days}", f" from {year}-02-01")
            for year, last in februaries
        ),
    )
    return tuple(f"days {name} {header} within {within} days{first}" for header, first in lines)


BY_NAMED_DAYS: dict[str, tuple[str, ...]] = {
    "second-last-monday-6": (
        *days_before_last("last-week-but-one", 13, 7), "every monday during last-week-but-one",
    ),
    "third-last-day": (
        *days_before_last("two-before-last", 2), "every day during two-before-last",
    ),
    "days-1-100-200-every-3-years": (
        *(f"days first-{n} every 36 months on 1 within {n} days from 1997-01-01"
          for n in (99, 100, 199, 200)),
        "every 36 months on 1 from 1997-01-01", "every day during first-100 except first-99",
        "every day during first-200 except first-199",
    ),
    "monday-20-of-year": (
        *(f"days first-{n} every january on 1 within {n} days" for n in (133, 140)),
        "every monday during first-140 except first-133",
    ),
    # Week 1 begins from 29 December to 4 January, and week 20 133 days later.
    "monday-of-week-20": (
        *(f"days first-{n} every january on 1 within {n} days" for n in (130, 137)),
        "every monday during first-137 except first-130",
    ),
    "friday-13": ("days thirteenth every month on 13", "every friday during thirteenth"),
    "saturday-after-first-sunday": (
        "days second-week every month on 7 within 7 days", "every saturday during second-week",
    ),
    "us-election-day": (
        "days election-week every 48 months on 2 within 7 days from 1996-11-01",
        "every tuesday during election-week",
    ),
    # The first week has one of each; the third of them is the last.
    "third-tue-wed-thu": (
        "days third-to-seventh every month on 3 within 5 days", "days seventh every month on 7",
        "every thursday during third-to-seventh", "every tuesday, wednesday during seventh",
    ),
    "second-last-weekday": (
        *days_before_last("one-before-last", 1), *days_before_last("three-before-last", 3),
        *days_before_last("up-to-three-before-last", 3, 3),
        "every monday, tuesday, wednesday during one-before-last",
        "every thursday during up-to-three-before-last", "every friday during three-before-last",
    ),
}  # fmt: skip
"""The records for which a book first gives names to days."""

EXPRESSIBLE = IN_PLAIN_WORDS | BY_NAMED_DAYS
SETTINGS = ("week ", "days ")
END = day("2020-12-31")


def test_every_record_of_the_rfc_is_expressed() -> None:
    assert EXPRESSIBLE.keys() == RECORDS.keys()
    assert (len(IN_PLAIN_WORDS), len(BY_NAMED_DAYS), len(RECORDS)) == (28, 10, 38)


@pytest.mark.parametrize("name", EXPRESSIBLE)
def test_section_gives_exactly_the_dates_of_the_rfc(name: str) -> None:
    """RFC 5545 (iCalendar), section 3.8.5.3, "Recurrence Rule", September 2009."""
    record = RECORDS[name]
    dates = [day(text) for text in record["dates"]]
    lines = [line for line in EXPRESSIBLE[name] if line.startswith(SETTINGS)]
    for header in EXPRESSIBLE[name]:
        if not header.startswith(SETTINGS):
            until = "" if record["truncated"] else f" until {record.get('until_date')}"
            if until.endswith("None"):
                # A rule that ends by a count ends, in a book, on the last of its dates.
                until = f" until {record['dates'][-1]}"
            lines += [header + until, "    x  5 min"]
    windows = timeline(house(f"since {record['dtstart']}", *lines)).between(0, END)
    found = spans(windows)
    if record["truncated"]:
        assert len(found) > len(dates)
        assert found == [(one, one) for one in goes_on(record)]
        found = found[: len(dates)]
    assert found == [(one, one) for one in dates]


def goes_on(record: dict[str, Any]) -> list[int]:
    """The days of a record that has no end, up to 2020, by python-dateutil."""
    first = datetime.fromisoformat(record["dtstart"])
    rule = rrulestr(record["rrule"], dtstart=first)
    last = datetime.combine(date.fromordinal(END), datetime.min.time())
    return [when.toordinal() for when in rule.between(first, last, inc=True)]


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


@pytest.mark.parametrize("numbers", [(1,), (1, 3), (2, 4), (-1,), (1, -1), (1, 2, 3, 4)])
def test_period_of_weekends_that_every_month_has_is_their_mean_distance(
    numbers: tuple[int, ...],
) -> None:
    """weekends.json, as above: twenty-one years of them."""
    wanted = sum(
        len({days[n if n < 0 else n - 1] for n in numbers if n <= len(days)})
        for months in WEEKENDS["saturdays"].values()
        for days in months
    )
    period = period_days(Cadence("numbered-weekend", weekends=numbers))
    assert period == pytest.approx(21 * 365.25 / wanted, rel=0.01)


def test_weekend_that_not_every_month_has_does_not_stretch_a_period() -> None:
    for numbers in ((5,), (2, 5), (5, -1)):
        period = period_days(Cadence("numbered-weekend", weekends=numbers))
        assert period == pytest.approx(365.25 / 12 / len(numbers))


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

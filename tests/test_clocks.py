"""Clocks: what day it is in any zone and any night, leap days, weeks 53, and the ends of dates."""

from __future__ import annotations

import re
from datetime import date, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import click
import pytest
from books import day, house, iso, spans, timeline
from click.testing import CliRunner, Result
from clocks import Night, broken_commands, clock, days_by_definition, nights, wrong_days
from dateutil.rrule import DAILY, MONTHLY, WEEKLY, rrule
from hypothesis import given
from hypothesis import strategies as st
from test_cli import stop_clock

from ledger.calendar.week import MAX_DAY, week_first
from ledger.cli.days import day_named
from ledger.cli.main import main
from ledger.clock import today_of
from ledger.household.model import Household
from ledger.keeping.history import shares_of

UNIX = pytest.mark.skipif(
    not Path("/usr/share/zoneinfo/Europe/Berlin").exists(), reason="the system has no tz database"
)
# Of the tz database: from 12 hours behind UTC to 14 before it; an hour set back at two, at three,
# at midnight, and by half an hour at two; winter time in summer; two hours at once.
ZONES = (
    "Etc/GMT+12", "America/New_York", "America/Havana", "Europe/Berlin", "Europe/Dublin",
    "Africa/Casablanca", "Antarctica/Troll", "Asia/Kolkata", "Australia/Lord_Howe",
    "Pacific/Chatham", "Etc/GMT-14",
)  # fmt: skip


def at(zone: str, text: str, fold: int = 0) -> int:
    """The moment at which a clock of a zone shows a time, the first or the second."""
    shown = datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone), fold=fold)
    return int(shown.timestamp())


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words), prog_name="besom")


# ------------------------------------------------------------------------- nights


@UNIX
@pytest.mark.parametrize(
    ("zone", "shown", "fold", "ends", "expected"),
    [
        # Set back from three to two on 25 October 2026, so half past two comes twice.
        ("Europe/Berlin", "2026-10-25 01:30", 0, 180, "2026-10-24"),
        ("Europe/Berlin", "2026-10-25 02:30", 0, 180, "2026-10-24"),
        ("Europe/Berlin", "2026-10-25 02:30", 1, 180, "2026-10-24"),
        ("Europe/Berlin", "2026-10-25 03:30", 0, 180, "2026-10-25"),
        # A day that ends in the hour that comes twice ends once.
        ("Europe/Berlin", "2026-10-25 02:20", 0, 150, "2026-10-24"),
        ("Europe/Berlin", "2026-10-25 02:40", 0, 150, "2026-10-25"),
        ("Europe/Berlin", "2026-10-25 02:20", 1, 150, "2026-10-25"),
        # Set forward from two to three on 29 March 2026.
        ("Europe/Berlin", "2026-03-29 01:30", 0, 180, "2026-03-28"),
        ("Europe/Berlin", "2026-03-29 03:00", 0, 180, "2026-03-29"),
        ("Europe/Berlin", "2026-03-29 03:30", 0, 180, "2026-03-29"),
        # A time that the night leaves out is over as the clock is set beyond it.
        ("Europe/Berlin", "2026-03-29 03:00", 0, 150, "2026-03-29"),
        ("America/New_York", "2026-11-01 01:45", 1, 120, "2026-10-31"),
        ("America/New_York", "2026-11-01 02:00", 0, 120, "2026-11-01"),
        ("America/Havana", "2026-11-01 00:10", 1, 30, "2026-11-01"),
        ("Australia/Lord_Howe", "2026-04-05 01:40", 1, 105, "2026-04-05"),
        ("Pacific/Kiritimati", "2026-03-04 02:59", 0, 180, "2026-03-03"),
    ],
)
def test_day_ends_once_in_a_night_in_which_the_clock_is_set(
    zone: str, shown: str, fold: int, ends: int, expected: str
) -> None:
    """RFC 5545, section 3.3.5: a local time that occurs twice is the first of the two. When
    clocks are set is from the tz database of the system."""
    with clock(zone) as set_to:
        set_to(at(zone, shown, fold))
        assert today_of(Household(day_ends=ends)).isoformat() == expected


@UNIX
@pytest.mark.parametrize("zone", ZONES)
def test_day_is_the_one_that_the_definition_gives_in_every_night(zone: str) -> None:
    """Against the definition of FORMAT.md 9, worked out minute by minute with `zoneinfo`."""
    found = [*nights(zone, 2026, 2026), Night(zone, at(zone, "2026-03-04 00:00"))]
    for night in found:
        for ends in (0, 90, 150, 180, 719):
            looked, wrong = wrong_days(night, ends, 15)
            assert looked > 50
            assert wrong == []


@UNIX
def test_days_of_a_zone_never_go_back_at_the_hour_that_ends_them() -> None:
    for night in nights("America/New_York", 2026, 2027):
        days = [found for _, found in days_by_definition(night, 90, 5)]
        assert days == sorted(days)


@UNIX
def test_commands_answer_at_any_moment_of_such_nights() -> None:
    chosen = [next(nights(zone, 2026, 2026)) for zone in ("Europe/Berlin", "America/Havana")]
    ran, broken = broken_commands([(one.zone, one.moment + 60) for one in chosen])
    assert (ran, broken) == (22, [])


@pytest.mark.parametrize(
    ("text", "today"),
    [
        ("tomorrow", "9999-12-31"),
        ("saturday", "9999-12-31"),
        ("yesterday", "1970-01-01"),
        ("today", "1969-12-31"),
        ("0001-01-01", "2026-03-04"),
        ("1969-12-31", "2026-03-04"),
    ],
)
def test_day_that_no_book_can_hold_is_told_plainly(text: str, today: str) -> None:
    with pytest.raises(click.BadParameter) as told:
        day_named(text, date.fromisoformat(today))
    assert told.value.message == (
        f'"{text}" is no day of a book; those are from 1970-01-01 to 9999-12-31'
    )


def test_days_at_both_ends_are_days(monkeypatch: pytest.MonkeyPatch) -> None:
    assert day_named("tomorrow", date(9999, 12, 30)) == date.max
    assert day_named("friday", date.max) == date.max
    assert day_named("yesterday", date(1970, 1, 2)) == date(1970, 1, 1)


EVERY = """\
since 1970-01-01
limit weekday 10 min
every day
    x 5 min
every week
    w 5 min
every 12 months from 1970-01-01
    y 5 min
9999 days after done
    z 5 min
every 9999 weeks from 1970-01-01
    v 5 min
1970-01-01 did z
9999-12-30 did x
"""


@pytest.fixture
def everything(tmp_path: Path) -> str:
    book = tmp_path / "home.chores"
    book.write_text(EVERY, "utf-8")
    return str(book)


@pytest.mark.parametrize(
    "on", ["0001-01-01", "1970-01-01", "1970-01-04", "9999-12-26", "9999-12-31"]
)
@pytest.mark.parametrize(
    "words",
    [
        "due", "week", "review", "review --weeks 520", "ahead", "ahead --weeks 520", "lighten",
        "areas", "chore x", "chore z", "lint", "ahead --as svg", "review --as json",
    ],
)  # fmt: skip
def test_every_report_answers_at_both_ends_or_says_why_not(
    everything: str, words: str, on: str
) -> None:
    result = run(*words.split(), everything, "--on", on)
    assert isinstance(result.exception, SystemExit | None)
    if on == "0001-01-01":
        assert result.exit_code == 2
        assert "is no day of a book" in result.stderr
    else:
        assert result.exit_code in (0, 1)
        assert result.stdout


def test_clock_set_back_leaves_a_line_of_tomorrow_for_tomorrow(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = tmp_path / "home.chores"
    book.write_text("since 2026-03-01\narea a\nevery day\n    x 5 min in a\n", "utf-8")
    stop_clock(monkeypatch, datetime(2026, 3, 5, 9))
    assert run("did", "x", "--book", str(book)).exit_code == 0
    stop_clock(monkeypatch, datetime(2026, 3, 4, 9))
    due = run("due", str(book)).stdout
    assert due.startswith("Wednesday 4 March 2026")
    assert re.search(r"^ +X +5 min", due, re.MULTILINE | re.IGNORECASE)
    assert "future-line" in run("lint", str(book)).stdout
    assert run("did", "x", "--book", str(book)).exit_code == 0
    assert book.read_text("utf-8").endswith("2026-03-05 did x\n2026-03-04 did x\n")
    for words in ("due", "week", "review", "ahead", "areas", "chore x", "lighten"):
        assert run(*words.split(), str(book)).exit_code == 0
    stop_clock(monkeypatch, datetime(2026, 3, 5, 9))
    assert "future-line" not in run("lint", str(book)).stdout


# ------------------------------------------------------------------------- leap days


@pytest.mark.parametrize(
    ("header", "rule"),
    [
        # RFC 5545, section 3.3.10: a date that is none is passed over, as by SKIP=OMIT of RFC 7529.
        ("every 12 months on 29 from 2024-02-29", {"interval": 12, "bymonthday": 29}),
        ("every 12 months on last from 2024-02-29", {"interval": 12, "bymonthday": -1}),
        ("every february on 29", {"bymonth": 2, "bymonthday": 29}),
        ("every february on last", {"bymonth": 2, "bymonthday": -1}),
        ("every february on 28, 29", {"bymonth": 2, "bymonthday": [28, 29]}),
        ("every month on 29", {"bymonthday": 29}),
        ("every 48 months on 29 from 2024-02-29", {"interval": 48, "bymonthday": 29}),
    ],
)
@pytest.mark.parametrize("low", ["2024-02-01", "2096-01-01", "2399-01-01"])
def test_leap_day_comes_when_the_rule_has_it(header: str, rule: dict[str, Any], low: str) -> None:
    """2024, 2096, 2104 and 2400 are leap years and 2100 is none; by python-dateutil's `rrule`."""
    table = timeline(house("since 2024-02-01", header, "    x 5 min"))
    first, last = day(low), day(low) + 12 * 366
    moments = rrule(MONTHLY, datetime(2024, 2, 1), until=datetime(2420, 1, 1), **rule)
    expected = [n for n in (moment.toordinal() for moment in moments) if first <= n <= last]
    since = day("2024-02-29") if "from" in header else 0
    found = [window.first for window in table.between(first, last)]
    assert found == [n for n in expected if n >= since]


def test_whole_months_and_years_from_a_leap_day() -> None:
    table = timeline(house("since 2024-01-01", "every 12 months from 2024-02-29", "    x 5 min"))
    expected = [("2024-02-29", "2024-02-29"), ("2025-02-01", "2025-02-28")]
    expected += [("2026-02-01", "2026-02-28"), ("2027-02-01", "2027-02-28")]
    expected += [("2028-02-01", "2028-02-29")]
    found = [(iso(first), iso(last)) for first, last in spans(table.between(0, day("2028-12-31")))]
    assert found == expected


@pytest.mark.parametrize(
    ("header", "record", "opens"),
    [
        ("365 days after done", "2024-02-29 did x", "2025-02-28"),
        ("366 days after done", "2023-02-28 did x", "2024-02-29"),
        ("1 day after done", "2028-02-28 did x", "2028-02-29"),
        ("1 day after done", "2100-02-28 did x", "2100-03-01"),
        ("1 day after done during february to february", "2024-02-29 did x", "2025-02-01"),
    ],
)
def test_days_after_done_are_counted_over_a_leap_day(header: str, record: str, opens: str) -> None:
    """ISO 8601: a date so many days later, as `datetime` adds them."""
    household, on = house("since 2023-01-01", header, "    x 5 min", record), day("2150-01-01")
    (share,) = shares_of(household, household.chores["x"], on, on)
    one = share.owed or next(share.ahead())
    assert (one.first, one.last) == (day(opens), day(opens))


@pytest.mark.parametrize("year", [1972, 2000, 2023, 2024, 2100, 2400, 9996])
def test_window_of_several_days_reaches_over_the_end_of_february(year: int) -> None:
    book = house("since 1970-01-01", "every month on 28 within 3 days", "    x 5 min")
    opened = date(year, 2, 28).toordinal()
    window = timeline(book).last_opened(opened)
    assert window is not None
    assert (window.first, window.last) == (opened, opened + 2)
    # By the rule of the Gregorian calendar: 2000 and 2400 are leap years, 2100 is none.
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    assert iso(window.last) == f"{year}-03-0{1 if leap else 2}"


@given(st.integers(1970, 9998), st.integers(1, 400))
def test_every_few_days_from_a_leap_day_are_those_of_the_rule(year: int, step: int) -> None:
    start = date(year - year % 4, 2, 28) if year >= 1972 else date(1972, 2, 29)
    header = f"every {step} days from {start}" if step > 1 else f"every day from {start}"
    table = timeline(house("since 1970-01-01", header, "    x 5 min"))
    moments = rrule(DAILY, datetime.combine(start, datetime.min.time()), interval=step, count=4)
    expected = [moment.toordinal() for moment in moments if moment.toordinal() <= MAX_DAY]
    assert [one.first for one in table.between(expected[0], expected[-1])] == expected


# ------------------------------------------------------------------------- weeks


@pytest.mark.parametrize("year", [1970, 1976, 2020, 2026, 2032, 2048, 2105])
def test_weeks_go_on_through_a_week_53(year: int) -> None:
    """ISO 8601: a year has 53 weeks that begins on a Thursday, or is leap and begins on a
    Wednesday; its last one lies in both years. Every second week is counted through it, as by
    FREQ=WEEKLY;INTERVAL=2 of RFC 5545, and not by its number."""
    assert date(year, 12, 28).isocalendar().week == 53
    first = week_first(date(year, 12, 28).toordinal(), 0)
    assert date.fromordinal(first).isocalendar() == (year, 53, 1)
    start = date.fromordinal(first - 14)
    book = house(f"since {start}", f"every 2 weeks from {start}", "    x 5 min")
    moments = rrule(WEEKLY, datetime.combine(start, datetime.min.time()), interval=2, count=4)
    expected = [(moment.toordinal(), moment.toordinal() + 6) for moment in moments]
    assert spans(timeline(book).between(first - 14, first + 28)) == expected


@pytest.mark.parametrize("on", ["1970-01-01", "1970-01-04", "9999-12-26", "9999-12-31"])
def test_week_at_an_end_of_the_calendar_has_the_days_there_are(everything: str, on: str) -> None:
    result = run("week", everything, "--on", on, "--as", "json")
    days = re.findall(r'"day": "(\d{4}-\d\d-\d\d)"', result.stdout)
    assert result.exit_code == 0
    assert on in days
    # The last day of the calendar is a Friday: two days of its week are in no calendar.
    assert len(days) == (5 if on == "9999-12-31" else 7)

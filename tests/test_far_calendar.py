"""The calendar over many years: the quick ways to windows and counts against the plain one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import islice
from typing import NamedTuple

import pytest
import strategies as some
from books import day, house, iso, shares, timeline
from hypothesis import given, settings
from hypothesis import strategies as st
from inputs import Input, load_all
from inputs_calendar import CALENDAR_HEADERS
from inputs_calendar import YEARS as YEARS_THERE_ARE
from lint_books import found_of
from simulated_keeping import PlainBook
from test_windows import SINCE, Marked, calls_made, falling, marked

from ledger.calendar.windows import Timeline
from ledger.household.model import Household
from ledger.keeping.past import pasts_of
from ledger.lint.meeting import first_met
from ledger.report.areas import areas
from ledger.report.due import due
from ledger.report.review import review
from ledger.report.week import week
from ledger.text.source import Source
from ledger.text.writer import write_line
from ledger.workspace import read_sources

YEARS = 365 * 8


class Case(NamedTuple):
    """A chore of a few lines over some years, and days to ask about."""

    lines: tuple[str, ...]
    since: int
    asked: int
    span: int

    @property
    def table(self) -> Timeline:
        """The windows of chore x."""
        return timeline(house(*self.lines))

    def plain(self) -> list[Marked]:
        """All windows there are, day by day, with no thought of time."""
        book = PlainBook("\n".join([*self.lines, ""]), self.since)
        found = book.windows("x", None, self.since + YEARS + SHORT)
        return [(one.first, one.last, one.excused) for one in found]


SHORT = 700
"""Days that the simulator looks ahead at least."""


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Chores of up to four lines, `once` over years among them, with long and short absences."""
    since = draw(st.integers(SINCE, day("2080-01-01")))
    days = st.integers(max(SINCE, since - 400), since + YEARS)
    cadences = falling(days, st.one_of(st.integers(1, 6), st.integers(1, 100)))
    sections = draw(
        st.lists(some.plain_sections(cadences, days), min_size=1, max_size=3, unique_by=write_line)
    )
    lines = [
        f"since {iso(since)}",
        *(
            f"away {iso(first)} to {iso(first + length)}"
            for first in draw(st.lists(days, max_size=3))
            for length in (draw(st.integers(0, 30) | st.integers(200, SHORT)),)
        ),
        *(part for section in sections for part in (write_line(section), "    x 5 min")),
    ]
    if draw(st.booleans()):
        first = draw(days)
        lines += [f"once from {iso(first)} to {iso(first + draw(st.integers(0, YEARS)))}"]
        lines += ["    x 7 min"]
    asked = draw(st.integers(since - 40, since + YEARS))
    return Case(tuple(lines), since, asked, draw(st.integers(0, 60) | st.integers(0, 2000)))


@settings(max_examples=100)
@given(cases())
def test_windows_near_a_day_are_those_of_the_plain_way(case: Case) -> None:
    table, plain, low = case.table, case.plain(), case.asked
    end = case.since + YEARS
    high = min(low + case.span, end)
    near = [one for one in plain if one[1] >= low and one[0] <= high]
    assert marked(table.between(low, high)) == near
    assert marked(table.asked_between(low, high)) == [one for one in near if not one[2]]
    opened = [one for one in plain if one[0] <= low]
    found = [table.last_opened(low), table.last_asked(low)]
    asked = [one for one in opened if not one[2]]
    assert marked(list(filter(None, found))) == [*opened[-1:], *asked[-1:]]
    for windows, wanted in (
        (table.following(low), [one for one in plain if one[0] > low]),
        (table.coming(low), [one for one in plain if one[0] > low and not one[2]]),
    ):
        coming = marked(list(islice(windows, 3)))
        # The plain way stops after some years, and what is seldom may come later.
        assert coming[: len(wanted)] == wanted[: len(coming)]
        assert all(one[0] > end for one in coming[len(wanted) :])


@settings(max_examples=150)
@given(cases(), st.lists(st.integers(0, 5000), max_size=3))
def test_windows_are_counted_as_they_are_listed(case: Case, steps: list[int]) -> None:
    """Counts over more than four years go by kinds of months and by division."""
    table = case.table
    listed = table.between(case.since - 1, case.asked + sum(steps))
    asked = case.asked
    for step in (0, *steps, -7):
        asked += step
        assert table.count_before(asked) == sum(one.last < asked for one in listed)


BESIDE = (None, "every tuesday, friday", "every 3 days from 1970-01-01", "weekend 5")


@pytest.mark.parametrize("beside", BESIDE)
@pytest.mark.parametrize(
    "header",
    [
        *CALENDAR_HEADERS,
        "every 4 weeks on monday, sunday from 1970-03-01 during may to july",
        "every 2 months on 31 from 1970-01-01",
        "every 12 months on 31 from 1970-03-01",
        "every 7 months on fifth friday from 1970-05-01 during april to january",
    ],
)
def test_openings_of_decades_are_counted_as_they_are_listed(
    header: str, beside: str | None
) -> None:
    headers = {header, beside or header}
    lines = [line for one in sorted(headers) for line in (one, "    x 5 min")]
    table = timeline(house("since 1970-02-11", "days off 2026-12-24 to 2026-12-31", *lines))
    for asked in (day("1974-06-01"), day("1997-08-20"), day("2012-02-29"), day("2011-12-31")):
        listed = table.between(day("1970-01-01"), asked)
        assert table.count_before(asked) == sum(one.last < asked for one in listed)


# ------------------------------------------------------- days away, and what hangs on the record


absences = st.lists(st.tuples(st.integers(1, 60), st.integers(0, 20)), max_size=8)


@given(absences)
def test_line_meets_the_first_that_shares_a_day_with_it(lines: list[tuple[int, int]]) -> None:
    spans = [(first, first + length) for first, length in lines]
    expected = {}
    for later, (first, last) in enumerate(spans):
        for earlier in range(later):
            if spans[earlier][0] <= last and first <= spans[earlier][1]:
                expected[later] = earlier
                break
    assert first_met(spans) == expected


@settings(max_examples=200)
@given(absences, st.tuples(some.months, some.months), st.integers(0, 200))
def test_window_after_done_waits_for_its_season_and_for_home(
    lines: list[tuple[int, int]], season: tuple[int, int], later: int
) -> None:
    since = day("2026-01-01")
    names = [date(2026, number, 1).strftime("%B").lower() for number in season]
    away = [f"away {iso(since + 5 * f)} to {iso(since + 5 * f + 9 * n)}" for f, n in lines]
    header = f"3 days after done during {names[0]} to {names[1]}"
    done = f"{iso(since + later)} did x"
    gone = {
        one
        for first, length in lines
        for one in range(since + 5 * first, since + 5 * first + 9 * length + 1)
    }
    months = {(season[0] + n - 1) % 12 + 1 for n in range((season[1] - season[0]) % 12 + 1)}
    expected = since + later + 3
    while expected in gone or date.fromordinal(expected).month not in months:
        expected += 1
    household = house("since 2026-01-01", *away, header, "    x 5 min", done)
    (share,) = shares(household, since + later)
    (found,) = share.ahead()
    assert (found.first, found.last) == (expected, expected)


@settings(max_examples=60)
@given(st.lists(st.integers(0, 300), max_size=12), st.integers(0, 320), st.integers(0, 40))
def test_past_of_a_line_after_done_begins_with_what_the_record_said_before(
    days: list[int], low: int, span: int
) -> None:
    since = day("2026-01-01")
    record = [
        f"{iso(since + n)} {'did x' if n % 4 else f'moved x to {iso(since + n + 3)}'}"
        for n in sorted(days)
    ]
    household = house("since 2026-01-01", "9 days after done", "    x 5 min", *record)
    on = since + 330
    (whole,) = pasts_of(household, household.chores["x"], since, on, on)
    end = min(since + low + span, on)
    (part,) = pasts_of(replace(household), household.chores["x"], since + low, end, on)
    inside = range(since + low, since + low + span + 1)
    counted = [(one.first, one.last, one.mark) for one in part.outcomes]
    assert counted == [
        (one.first, one.last, one.mark) for one in whole.outcomes if one.counted in inside
    ]
    assert list(part.extras) == [one for one in whole.extras if one.day in inside]


# --------------------------------------------------------------------- work, as sizes grow


def read(one: Input, n: int) -> Household:
    """The household of a slow input."""
    return read_sources([Source("home.chores", one.versions(n).book)]).household


def answers(household: Household, asked: int) -> None:
    """The reports that look at a day and the time around it."""
    due(household, asked)
    week(household, asked)
    review(household, asked, 1)
    areas(household, asked)


SLOW = {name: one for name, one in load_all().items() if one.make.__module__ == "inputs_calendar"}
SMALL, TIMES = 40, 8
"""Lines or sections of the short form, and how many times that the longer one has; of years a
quarter of all there are."""
LATEST_DAY = "2059-12-31"
"""Where an input has later days too, they take seconds: `tests/abuse/slow_inputs.py` asks them."""
SECONDS_LONG = {"kept_to_many_named_days"}
"""So do these inputs."""
STEPS = 40_000
"""Calls by which two sizes may differ because what is looked back on is doubled, and doubled."""


def calls(one: Input, n: int, asked: str) -> int:
    """How many functions of the calendar the reports call over an input."""
    household = read(one, n)
    return calls_made(lambda: answers(household, day(asked)))


def test_every_slow_input_of_the_calendar_is_a_book_below_100_kb() -> None:
    assert len(SLOW) > 20
    for one in SLOW.values():
        assert 200 < len(one.versions(one.size).book) < 100_000, one.name


@pytest.mark.parametrize("name", sorted(SLOW.keys() - SECONDS_LONG))
def test_work_grows_no_faster_than_the_book(name: str) -> None:
    """Counted in calls of functions, so that it is the same on every machine; the bound leaves
    n log n its room, and none to n squared."""
    one = SLOW[name]
    small = one.size // TIMES // 4 if one.size == YEARS_THERE_ARE else SMALL
    for asked in [asked for asked in one.days if asked <= LATEST_DAY] or one.days:
        assert calls(one, TIMES * small, asked) <= 1.5 * TIMES * calls(one, small, asked) + STEPS


# --------------------------------------------------------------------- what was found


def test_away_until_further_notice_leaves_nothing_to_come_but_what_is_due_today() -> None:
    household = house(
        "since 2026-01-01", "away 2026-12-01 to 9999-12-31", "every day", "    x 5 min"
    )
    table = timeline(household)
    assert [one.first for one in table.coming(day("2026-11-28"))] == [
        day("2026-11-29"),
        day("2026-11-30"),
    ]
    assert due(household, day("2026-11-30")).today[0].chore == "x"
    assert due(household, day("2030-01-01")).today == ()


def test_span_of_the_whole_calendar_beside_a_daily_line_is_a_finding() -> None:
    lines = (
        "since 1970-01-01",
        "area a",
        "once from 1970-01-01 to 9999-12-31",
        "    x 5 min in a",
        "every day",
        "    x 5 min in a",
    )
    (found,) = found_of("overlap", *lines)
    assert "they meet 367 times in the year ahead" in found.why


@pytest.mark.parametrize("asked", ["1970-01-01", "2026-11-25", "9999-12-31"])
def test_line_that_moves_a_chore_to_the_end_of_the_calendar_is_told_why_it_cannot(
    asked: str,
) -> None:
    lines = ("since 1970-01-01", "every day", "    x 5 min", f"{asked} moved x to 9999-12-31")
    found = found_of("impossible-move", *lines, on=asked)
    if asked == "9999-12-31":
        assert found == []
    else:
        assert "has it already" in found[0].why

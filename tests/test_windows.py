"""Windows: every cadence against the rules of an independent calendar library, and apart."""

from __future__ import annotations

import sys
from calendar import monthrange
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from itertools import pairwise, product
from types import FrameType

import pytest
import strategies as some
from books import Span, day, house, iso, spans, timeline
from hypothesis import given, settings
from hypothesis import strategies as st
from oracle import Calendar, at_home, expected_spans, kept, settled
from whole import standings

from ledger.calendar.occurrences import Rhythm, section_spans
from ledger.calendar.week import MAX_DAY, months_of
from ledger.calendar.windows import Timeline, Window
from ledger.text.cadences import write_cadence
from ledger.text.source import Source
from ledger.text.tree import Cadence, MonthDay, SectionHeader
from ledger.text.values import MONTHS
from ledger.text.writer import write_line
from ledger.workspace import read_sources

SINCE = day("1970-01-01")
LONGEST = 800
LEAP_YEAR = 2000


@dataclass(frozen=True)
class Routine:
    """A section with one line of chore x, and the dates that line is in force."""

    section: SectionHeader
    first: int | None = None
    last: int | None = None

    def lines(self) -> list[str]:
        """The header, and the chore below it."""
        start = f" from {iso(self.first)}" if self.first else ""
        end = f" until {iso(self.last)}" if self.last else ""
        return [write_line(self.section), f"    x 5 min{start}{end}"]

    def force(self, since: int) -> Span:
        """The first and last day in force."""
        section = self.section
        firsts = [since, self.first, section.first.value if section.first else None]
        lasts = [MAX_DAY, self.last, section.last.value if section.last else None]
        return max(d for d in firsts if d is not None), min(d for d in lasts if d is not None)


@dataclass(frozen=True)
class Case:
    """A made-up book, and a stretch of days to ask about."""

    routines: tuple[Routine, ...]
    week_start: int
    weekend: tuple[int, ...]
    since: int
    low: int
    high: int
    away: tuple[Span, ...] = ()

    def timeline(self) -> Timeline:
        """The windows of chore x as the book is read."""
        lines = [
            f"since {iso(self.since)}",
            f"week starts {some.DAYS[self.week_start]}",
            "weekend is " + ", ".join(some.DAYS[number] for number in self.weekend),
            *(f"away {iso(first)} to {iso(last)}" for first, last in self.away),
        ]
        return timeline(house(*lines, *(part for r in self.routines for part in r.lines())))

    def expected(self) -> list[Span]:
        """All windows near the stretch, worked out again; days away still in them."""
        found: list[Span] = []
        for routine in self.routines:
            section, force = routine.section, routine.force(self.since)
            calendar = Calendar(
                self.week_start,
                self.weekend,
                section.first.value if section.first else force[0],
            )
            every = expected_spans(
                section.cadence.value, calendar, self.low - LONGEST, self.high + LONGEST
            )
            season = section.during.value if section.during else None
            within = section.within.value if section.within else None
            found += kept(every, season, within, force)
        return settled(found)


def touching(windows: list[Span], low: int, high: int) -> list[Span]:
    """The windows that have a day from low to high."""
    return [(first, last) for first, last in windows if last >= low and first <= high]


small_counts = st.one_of(st.integers(1, 6), st.integers(1, 400))
weekends = st.builds(
    lambda first, length: tuple((first + n) % 7 for n in range(length)),
    some.weekdays,
    st.integers(1, 3),
)


def all_fall(cadence: Cadence) -> bool:
    """False where a day is asked for that no month of the cadence has, such as 31 June.

    No date ever ends the search for such a day, nor does a book without a finding ask for it.
    """
    longest = max(monthrange(LEAP_YEAR, month)[1] for month in cadence.months or (1,))
    return all(item.weekday is not None or item.number <= longest for item in cadence.on)


@st.composite
def cases(draw: st.DrawFn, most: int = 1, away: bool = False, old: bool = False) -> Case:
    """Books whose dates lie within three years or so of each other, from 1970 to 2100."""
    base = draw(st.integers(SINCE + LONGEST, day("2100-12-31") - 3 * LONGEST))
    near = st.integers(base, base + 900)
    cadences = some.cadences(near, small_counts).filter(
        lambda cadence: cadence.kind != "after-done" and all_fall(cadence)
    )
    section = some.plain_sections(cadences, near)
    routine = st.builds(Routine, section, st.none(), st.none())
    if most > 1:
        routine = st.builds(Routine, section, some.seldom(near), some.seldom(near))
    routines = st.lists(
        routine, min_size=1, max_size=most, unique_by=lambda r: write_line(r.section)
    )
    low = draw(near)
    gone = st.builds(lambda first, n: (first, first + n), near, st.integers(0, 60))
    return Case(
        tuple(draw(routines)),
        draw(some.weekdays),
        draw(weekends),
        SINCE if old else draw(st.integers(base - 300, base + 300)),
        low,
        low + draw(st.integers(40, 500) | st.integers(0, 8)),
        tuple(draw(st.lists(gone, max_size=3))) if away else (),
    )


# --------------------------------------------------------------- against another calendar


@settings(max_examples=400)
@given(cases() | cases(old=True))
def test_windows_of_a_section_are_those_of_its_recurrence_rule(case: Case) -> None:
    """python-dateutil's `rrule` (RFC 5545, section 3.3.10, 2009) says when each cadence falls."""
    expected = touching(case.expected(), case.low, case.high)
    assert spans(case.timeline().between(case.low, case.high)) == expected


@settings(max_examples=200)
@given(cases(most=3))
def test_windows_of_several_sections_are_settled_into_one_line(case: Case) -> None:
    expected = touching(case.expected(), case.low, case.high)
    assert spans(case.timeline().between(case.low, case.high)) == expected


@settings(max_examples=200)
@given(cases(most=2, away=True))
def test_days_away_are_taken_off_both_ends_of_a_window(case: Case) -> None:
    away = {d for first, last in case.away for d in range(first, last + 1)}
    home = [(at_home(span, away) or span, at_home(span, away) is None) for span in case.expected()]
    expected = [
        (first, last, excused)
        for (first, last), excused in home
        if last >= case.low and first <= case.high
    ]
    found = case.timeline().between(case.low, case.high)
    assert [(window.first, window.last, window.excused) for window in found] == expected


SECTION = house("since 1970-01-01", "every day", "    x").chores["x"].routines[0].section
EACH_WAY = (
    Cadence("day"),
    Cadence("day", 3),
    Cadence("weekday"),
    Cadence("weekend"),
    Cadence("numbered-weekend", weekends=(1, 3)),
    Cadence("numbered-weekend", weekends=(-1, 5)),
    Cadence("named-day", days=(1, 4)),
    Cadence("week"),
    Cadence("week", 2),
    Cadence("week", 3, days=(0, 6)),
    Cadence("month"),
    Cadence("month", 2),
    Cadence("month", on=(MonthDay(31, None), MonthDay(-1, None), MonthDay(1, 5))),
    Cadence("month", 3, on=(MonthDay(15, None), MonthDay(0, 4))),
    Cadence("named-month", months=(1, 2, 7)),
    Cadence("named-month", months=(4, 10), on=(MonthDay(-1, 6), MonthDay(5, 0))),
    Cadence("once", first=day("2026-02-10"), last=day("2026-03-20")),
)
dates_of_2026 = st.integers(day("2026-01-01"), day("2026-12-31"))


@pytest.mark.parametrize("cadence", EACH_WAY, ids=write_cadence)
@settings(max_examples=30)
@given(
    st.builds(Calendar, some.weekdays, weekends, dates_of_2026),
    st.none() | st.integers(1, 12) | st.integers(1, 366),
    some.seldom(st.tuples(some.months, some.months)),
    st.tuples(dates_of_2026, st.integers(0, 100)),
)
def test_windows_that_open_in_a_stretch_are_those_of_a_longer_one_that_open_there(
    cadence: Cadence,
    calendar: Calendar,
    within: int | None,
    during: tuple[int, int] | None,
    stretch: Span,
) -> None:
    """`section_spans` gives all that open from the first day to the last, both included."""
    early, late = stretch[0], stretch[0] + stretch[1]
    section = replace(SECTION, cadence=cadence, during=during, within=within)
    rhythm = Rhythm(
        cadence, calendar.anchor, calendar.week_start, calendar.weekend, months_of(during)
    )
    every = expected_spans(cadence, calendar, early - 100, late + LONGEST)
    whole = kept(every, during, within, (SINCE, MAX_DAY))
    opens = next((first for first, _ in whole if early <= first <= late), early)
    # The day after lies inside a window of several days, and the day before is not its own.
    for low, high in product((early, opens, opens + 1), (late, opens, opens - 1)):
        expected = [span for span in whole if low <= span[0] <= high]
        assert list(section_spans(section, rhythm, low, high)) == expected


@pytest.mark.parametrize("month", range(1, 13))
def test_month_has_the_days_of_the_calendar_and_a_day_it_never_has_is_a_fault(month: int) -> None:
    """Against the standard library: `calendar.monthrange`."""
    name = MONTHS[month - 1]
    lengths = {year: monthrange(year, month)[1] for year in (LEAP_YEAR, LEAP_YEAR + 1)}
    ends = "from 2000-01-01 until 2001-12-31"
    for number in range(1, 32):
        lines = (f"since {LEAP_YEAR}-01-01", f"every {name} on {number} {ends}", "    x  5 min")
        if number > max(lengths.values()):
            (found,) = read_sources([Source("home.chores", "\n".join(lines))]).findings
            assert found.rule == "impossible-date"
            continue
        days = [date(year, month, number) for year, last in lengths.items() if number <= last]
        expected = [(one.toordinal(), one.toordinal()) for one in days]
        assert spans(timeline(house(*lines)).between(SINCE, MAX_DAY)) == expected
    whole = house(f"since {LEAP_YEAR}-01-01", f"every {name} {ends}", "    x  5 min")
    assert spans(timeline(whole).between(SINCE, MAX_DAY)) == [
        (date(year, month, 1).toordinal(), date(year, month, last).toordinal())
        for year, last in lengths.items()
    ]


# --------------------------------------------------------------- what holds of all windows


@settings(max_examples=200)
@given(cases(most=3, away=True))
def test_windows_are_in_order_and_never_overlap(case: Case) -> None:
    windows = case.timeline().between(case.low, case.high)
    assert all(window.first <= window.last for window in windows)
    assert all(one.last < other.first for one, other in pairwise(windows))


@given(cases(most=3))
def test_windows_lie_inside_the_dates_in_force(case: Case) -> None:
    table = case.timeline()
    for window in table.between(case.low, case.high):
        first, last = table.in_force(window.routine)
        assert first <= window.first <= window.last <= last
        assert window.first >= case.since


@settings(max_examples=200)
@given(cases(most=3, away=True), st.integers(0, 500))
def test_a_stretch_has_the_windows_of_its_two_parts(case: Case, cut: int) -> None:
    table = case.timeline()
    middle = min(case.low + cut, case.high)
    parts = table.between(case.low, middle) + table.between(middle + 1, case.high)
    assert table.between(case.low, case.high) == list(dict.fromkeys(parts))


@settings(max_examples=200)
@given(cases(most=2, away=True))
def test_neighbours_of_a_day_are_those_of_the_whole_line(case: Case) -> None:
    table, asked = case.timeline(), case.low
    whole = table.between(case.since - 1, asked + 6 * LONGEST)
    opened = [window for window in whole if window.first <= asked]
    ahead = [window for window in whole if window.first > asked]
    assert table.last_opened(asked) == (opened[-1] if opened else None)
    kept = [window for window in ahead if not window.excused]
    following = table.coming(asked, 2)
    if len(kept) >= 2:
        assert following == kept[:2]
    else:
        assert following[: len(kept)] == kept
        assert all(window.first > asked + 5 * LONGEST for window in following[len(kept) :])


@settings(max_examples=200)
@given(cases(most=3))
def test_count_of_windows_before_a_day_is_how_many_have_closed(case: Case) -> None:
    table = case.timeline()
    closed = [window for window in table.between(case.since, case.low) if window.last < case.low]
    assert table.count_before(case.low) == len(closed)


@pytest.mark.parametrize(
    ("header", "on", "closed"),
    [
        ("every 5 days within 4 days from 2026-03-01", "2026-03-08", 1),
        ("every 5 days within 4 days from 2026-03-01", "2026-03-10", 2),
        ("every 6 days within 6 days from 2026-02-26", "2026-03-04", 1),
        ("every week", "2026-03-02", 1),
        ("every week", "2026-03-08", 1),
        ("every week until 2026-03-04", "2026-03-06", 2),
    ],
)
def test_count_of_windows_takes_in_those_cut_at_the_start_and_none_still_open(
    header: str, on: str, closed: int
) -> None:
    table = timeline(house("since 2026-03-01", header, "    x  5 min"))
    assert table.count_before(day(on)) == closed


def test_two_sections_that_meet_are_found_as_pairs() -> None:
    table = timeline(
        house("since 2026-03-01", "every monday", "    x 5 min", "every week", "    x 5 min")
    )
    pairs = list(table.overlaps(day("2026-03-02"), day("2026-03-08")))
    assert [spans(pair) for pair in pairs] == [
        [(day("2026-03-02"), day("2026-03-02")), (day("2026-03-02"), day("2026-03-08"))]
    ]


@pytest.mark.parametrize(
    ("since", "header", "chore"),
    [
        ("2026-05-25", "every month until 2026-05-20", "x"),
        ("2026-05-01", "every month from 2026-05-25 until 2026-05-20", "x"),
        ("2026-05-01", "every month from 2026-05-25", "x until 2026-05-20"),
        ("2026-05-21", "every weekend within 9 days", "x until 2026-05-20"),
        ("2026-05-03", "once from 2026-05-01 to 2026-05-31", "x until 2026-05-02"),
    ],
)
def test_a_chore_that_ends_before_it_begins_has_no_windows(
    since: str, header: str, chore: str
) -> None:
    household = house(f"since {since}", header, f"    {chore}")
    assert spans(timeline(household).between(SINCE, day("2026-12-31"))) == []
    assert standings(household, day("2026-06-03")) == []


def test_paused_chores_and_sections_have_no_windows() -> None:
    lines = ("since 2026-03-01", "paused every day", "    x 5 min", "every day", "    y paused")
    for chore in "xy":
        assert timeline(house(*lines), chore).between(SINCE, day("2026-04-01")) == []


# --------------------------------------------------------------- far away


def calls_made(ask: Callable[[], object]) -> int:
    """How many functions of ours, and steps of our generators, an answer takes."""
    made = 0

    def count(frame: FrameType, event: str, _: object) -> None:
        nonlocal made
        made += event == "call" and "calendar" in frame.f_code.co_filename

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        ask()
    finally:
        sys.setprofile(before)
    return made


def neighbourhood(table: Timeline, first: int) -> list[Window | None]:
    """The windows of a week, and the one before and the one after it."""
    return [*table.between(first, first + 6), table.last_opened(first), *table.coming(first, 1)]


@pytest.mark.parametrize(
    ("header", "step"),
    [
        ("every day", 1),
        ("every 2 days", 2),
        ("every weekday", 1),
        ("every monday, friday", 1),
        ("every weekend", 1),
        ("weekend 1, last", 1),
        ("every week", 1),
        ("every 4 weeks", 28),
        ("every 4 weeks on tuesday, friday", 28),
        ("every month", 1),
        ("every 3 months on 1, last, second friday", None),
        ("every april, october", 1),
        ("every month on friday within 3 days during march to october", 1),
    ],
)
def test_a_week_in_year_9000_costs_the_same_however_old_its_anchor(
    header: str, step: int | None
) -> None:
    asked, near = day("9000-03-01"), day("8999-01-01")
    if step is not None:
        near -= (near - SINCE) % step
    books = [
        house("since 1970-01-01", f"{header} from {iso(anchor)}", "    x 5 min")
        for anchor in (SINCE, near)
    ]
    old, new = (spans(filter(None, neighbourhood(timeline(book), asked))) for book in books)
    assert old == new
    assert len(old) >= 2
    costs = [calls_made(partial(neighbourhood, timeline(book), asked)) for book in books]
    assert costs[0] == costs[1] > 0


LAST_HEADERS = [
    "every day",
    "every 3 days from 9999-12-01",
    "every weekday",
    "every sunday",
    "every weekend",
    "weekend 4, 5, last",
    "every week",
    "every 2 weeks on friday from 9999-12-01",
    "every month",
    "every month on last",
    "every 5 months from 9999-07-01",
    "every december on 31 within 366 days",
    "every day during december to december within 40 days",
    "5 days after done",
    "5 days after done during march to april",
    "1 day after done within 9 days",
    "once from 9999-12-30 to 9999-12-31",
]


@pytest.mark.parametrize("header", LAST_HEADERS)
@pytest.mark.parametrize("record", ["", "9999-12-31 did x", "9999-12-30 skipped x"])
def test_the_last_day_of_the_calendar_is_a_day_like_any_other(header: str, record: str) -> None:
    household = house("since 9999-10-01", header, "    x 5 min", record)
    table = timeline(household)
    windows = table.between(MAX_DAY - 90, MAX_DAY)
    assert all(window.first <= window.last <= MAX_DAY for window in windows)
    assert table.coming(MAX_DAY, 1) == []
    assert table.last_opened(MAX_DAY) == (windows[-1] if windows else None)
    assert all(one.first <= MAX_DAY for one in standings(household, MAX_DAY))

"""Windows: every cadence against the rules of an independent calendar library, and apart."""

from __future__ import annotations

import sys
from calendar import monthrange
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import partial
from itertools import islice, pairwise, product, takewhile
from types import FrameType

import pytest
import strategies as some
from books import Span, day, house, iso, shares, spans, standings, timeline
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_cadences import Week
from simulated_cadences import cadence_spans as simulated_spans
from simulated_keeping import PlainBook

from ledger.calendar.occurrences import Rhythm, cadence_spans
from ledger.calendar.week import MAX_DAY
from ledger.calendar.windows import Timeline, Window
from ledger.text.cadences import write_cadence
from ledger.text.clauses import ChoreLine, Turn
from ledger.text.parts import Cadence, DayItem, Located, MonthDay
from ledger.text.source import Source
from ledger.text.values import MONTHS
from ledger.text.writer import write_line
from ledger.workspace import read_sources

SINCE = day("1970-01-01")
LONGEST = 800
LEAP_YEAR = 2000
Marked = tuple[int, int, bool]
"""A window and whether it is excused."""


@dataclass(frozen=True)
class Case:
    """A made-up book of chore `x`, and a stretch of days to ask about."""

    head: tuple[str, ...]
    sections: tuple[str, ...]
    since: int
    low: int
    high: int

    @property
    def lines(self) -> tuple[str, ...]:
        """The whole book."""
        return f"since {iso(self.since)}", "person ada", "person bo", *self.head, *self.sections

    def timeline(self) -> Timeline:
        """The windows of chore x as the book is read."""
        return timeline(house(*self.lines))

    def windows(self, low: int, high: int) -> list[Marked]:
        """The windows that have one of some days, as the simulator has them."""
        book = PlainBook("\n".join([*self.lines, ""]), low)
        found = book.calendar.windows("x", None, high, low)
        return [(one.first, one.last, one.excused) for one in found if one.last >= low]


def marked(windows: list[Window]) -> list[Marked]:
    """First and last days of windows, and which of them are excused."""
    return [(one.first, one.last, one.excused) for one in windows]


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


def falling(
    near: st.SearchStrategy[int], every: st.SearchStrategy[int] = small_counts
) -> st.SearchStrategy[Cadence]:
    """Cadences of the calendar that fall."""
    return some.cadences(near, every).filter(
        lambda cadence: cadence.kind != "after-done" and all_fall(cadence)
    )


def absences(near: st.SearchStrategy[int]) -> st.SearchStrategy[str]:
    """Days away or of rest, of the household or of somebody."""
    return st.builds(
        lambda word, first, n, whose: f"{word} {iso(first)} to {iso(first + n)}{whose}",
        st.sampled_from(["away", "rest"]),
        near,
        st.integers(0, 12) | st.integers(0, 60),
        st.sampled_from(["", " by ada", " by bo"]),
    )


school = st.just(DayItem("named", name="school"))


def chore_lines(near: st.SearchStrategy[int]) -> st.SearchStrategy[str]:
    """Lines of chore `x`: who does it, on which days it is in force, and whether it is vital."""
    ada, bo = Located("ada", 0, 0), Located("bo", 0, 0)
    turns = [None, None, Turn("any", (ada,)), Turn("together", (ada, bo)), Turn("then", (bo, ada))]
    return st.builds(
        partial(ChoreLine, Located("x", 0, 0)),
        assignment=st.sampled_from(turns),
        excepted=some.seldom_some(some.kinds_of_days | school),
        first=some.seldom(some.placed(near)),
        last=some.seldom(some.placed(near)),
        vital=st.sampled_from([False, False, True]),
    ).map(write_line)


@st.composite
def cases(draw: st.DrawFn, most: int = 1, away: bool = False, old: bool = False) -> Case:
    """Books whose dates lie within three years or so of each other, from 1970 to 2100."""
    base = draw(st.integers(SINCE + LONGEST, day("2100-12-31") - 3 * LONGEST))
    near = st.integers(base, base + 900)
    section = some.plain_sections(falling(near), near, some.kinds_of_days | school)
    sections = draw(st.lists(section, min_size=1, max_size=most, unique_by=write_line))
    chores = chore_lines(near) if most > 1 else st.just("    x")
    weekend = ", ".join(some.DAYS[number] for number in draw(weekends))
    first, low = draw(near), draw(near)
    head = (
        f"week starts {some.DAYS[draw(some.weekdays)]}",
        f"weekend is {weekend}",
        f"days school {iso(first)} to {iso(first + draw(st.integers(0, 200)))}",
        *(draw(st.lists(absences(near), max_size=3)) if away else ()),
    )
    return Case(
        head,
        tuple(line for one in sections for line in (write_line(one), draw(chores))),
        SINCE if old else draw(st.integers(base - 300, base + 300)),
        low,
        low + draw(st.integers(40, 500) | st.integers(0, 8)),
    )


# --------------------------------------------------------------- against another calendar


@settings(max_examples=300)
@given(cases() | cases(old=True))
def test_windows_of_a_section_are_those_of_its_recurrence_rule(case: Case) -> None:
    """python-dateutil's `rrule` (RFC 5545, section 3.3.10, 2009) says when each cadence falls."""
    found = case.timeline().between(case.low, case.high)
    assert marked(found) == case.windows(case.low, case.high)


@settings(max_examples=200)
@given(cases(most=3))
def test_windows_of_several_sections_are_settled_into_one_line(case: Case) -> None:
    found = case.timeline().between(case.low, case.high)
    assert marked(found) == case.windows(case.low, case.high)


@settings(max_examples=300)
@given(cases(most=2, away=True))
def test_windows_on_whose_days_nobody_is_asked_are_excused(case: Case) -> None:
    found = case.timeline().between(case.low, case.high)
    assert marked(found) == case.windows(case.low, case.high)


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
    Cadence("week", times=3),
    Cadence("week", 2, times=5),
    Cadence("month"),
    Cadence("month", 2),
    Cadence("month", times=4),
    Cadence("month", 3, times=7),
    Cadence("month", on=(MonthDay(31, None), MonthDay(-1, None), MonthDay(1, 5))),
    Cadence("month", 3, on=(MonthDay(15, None), MonthDay(0, 4))),
    Cadence("named-month", months=(1, 2, 7)),
    Cadence("named-month", months=(2, 6), times=3),
    Cadence("named-month", months=(4, 10), on=(MonthDay(-1, 6), MonthDay(5, 0))),
    Cadence("once", first=day("2026-02-10"), last=day("2026-03-20")),
)
dates_of_2026 = st.integers(day("2026-01-01"), day("2026-12-31"))


@pytest.mark.parametrize("cadence", EACH_WAY, ids=write_cadence)
@settings(max_examples=30)
@given(
    st.builds(Week, some.weekdays, weekends),
    dates_of_2026,
    st.none() | st.integers(1, 12) | st.integers(1, 366),
    st.tuples(dates_of_2026, st.integers(0, 100)),
)
def test_spans_that_open_in_a_stretch_are_those_of_a_longer_one_that_open_there(
    cadence: Cadence, week: Week, anchor: int, within: int | None, stretch: Span
) -> None:
    """`cadence_spans` gives all that open from the first day to the last, both included."""
    early, late = stretch[0], stretch[0] + stretch[1]
    rhythm = Rhythm(cadence, anchor, *week)
    found = simulated_spans(cadence, week, anchor, early - 400, late + LONGEST, within)
    whole = [(one.first, one.last) for one in found]
    opens = next((first for first, _ in whole if early <= first <= late), early)
    # The day after lies inside a span of several days, and the day before is not its own.
    for low, high in product((early, opens, opens + 1), (late, opens, opens - 1)):
        expected = [span for span in whole if low <= span[0] <= high]
        assert list(cadence_spans(rhythm, within, low, high)) == expected


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


@settings(max_examples=200)
@given(cases(most=3, away=True))
def test_windows_begin_on_a_day_in_force_and_are_excused_where_none_is_asked(case: Case) -> None:
    table = case.timeline()
    for window in table.between(case.low, case.high):
        line = table.line_of(window.routine)
        assert line.force.holds(window.first)
        assert case.since <= window.first <= window.last
        days = range(window.first, window.last + 1)
        assert window.excused != any(map(line.asked.holds, days))
        asked = [*filter(line.asked.holds, days)]
        assert table.asked_span(window) == ((asked[0], asked[-1]) if asked else None)


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
    table, asked, far = case.timeline(), case.low, case.low + 6 * LONGEST
    whole = table.between(case.since - 1, far)
    opened = [window for window in whole if window.first <= asked]
    ahead = [window for window in whole if window.first > asked]
    assert table.last_opened(asked) == (opened[-1] if opened else None)
    kept = [window for window in opened if not window.excused]
    assert table.last_asked(asked) == (kept[-1] if kept else None)
    near = takewhile(lambda window: window.first <= far, table.following(asked))
    assert list(near) == ahead
    near = takewhile(lambda window: window.first <= far, table.coming(asked))
    assert list(near) == [window for window in ahead if not window.excused]


@settings(max_examples=200)
@given(cases(most=3, away=True))
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
        ("every week except sunday", "2026-03-08", 1),
        ("2 times every week", "2026-03-05", 1),
        ("2 times every week", "2026-03-06", 2),
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
    lines = ("since 2026-03-01", "every day paused", "    x 5 min", "every day", "    y paused")
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
    return [*table.between(first, first + 6), table.last_opened(first),
            *islice(table.coming(first), 1)]  # fmt: skip


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
        ("every weekday except friday, august", 1),
        ("2 times every week", 1),
        ("3 times every month during weekend", 1),
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
    costs = []
    for book in books:
        # What is kept for all books may have been pushed out by others meanwhile.
        neighbourhood(timeline(book), asked)
        costs.append(calls_made(partial(neighbourhood, timeline(book), asked)))
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
    "every day during december within 40 days",
    "every weekend except friday",
    "2 times every week",
    "3 times every month",
    "4 times every 2 months from 9999-11-01",
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
    assert list(table.coming(MAX_DAY)) == list(table.following(MAX_DAY)) == []
    assert table.last_opened(MAX_DAY) == (windows[-1] if windows else None)
    assert table.last_asked(MAX_DAY) == table.last_opened(MAX_DAY)
    for share in shares(household, MAX_DAY):
        assert all(one.first <= one.last <= MAX_DAY for one in share.occasions)
        assert list(share.ahead()) == []

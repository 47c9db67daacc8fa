"""Recurrence: rules found for spans of days, by `dateutil.rrule` and the examples of RFC 5545."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime

import pytest
from books import Span, day, house, timeline
from dateutil.rrule import rruleset, rrulestr
from hypothesis import given, settings
from hypothesis import strategies as st
from test_published import RECORDS

from ledger.render import recurrence
from ledger.render.recurrence import Part, expand, parts_of

FIRST = day("2026-11-26")
DAYS = st.integers(FIRST, FIRST + 900)


def first_days(part: Part) -> list[int]:
    """The first days of a part, by the rules of a library for whole sets of recurrences."""
    start = datetime.fromordinal(part.first)
    dates = rruleset()
    if part.rule:
        until = datetime.fromordinal(part.until)
        dates.rrule(rrulestr(f"{part.rule};UNTIL={until:%Y%m%d}", dtstart=start))  # type: ignore[arg-type]
    else:
        dates.rdate(start)
    for excepted in part.excepted:
        dates.exdate(datetime.fromordinal(excepted))
    return [when.toordinal() for when in dates]


def assert_holds(spans: Iterable[Span], week_start: int = 0) -> list[Part]:
    """The parts of some spans, if they hold each of them once and begin as RFC 5545 says."""
    parts = parts_of(spans, week_start)
    found = [(first, first + part.length - 1) for part in parts for first in first_days(part)]
    assert sorted(found) == sorted(set(spans))
    for part in parts:
        # Section 3.8.5.3: DTSTART is the first instance of the set, and fits the rule.
        assert first_days(part)[0] == part.first
        assert not part.rule or expand(part.rule, part.first, part.until)[0] == part.first
    assert len({part.length for part in parts}) == len(parts)
    return parts


def week_start_of(rule: str) -> int:
    return 6 if "WKST=SU" in rule else 0


def regular(rule: str, first: int, until: int) -> list[int]:
    """The days of a rule from one day to another."""
    start, end = datetime.fromordinal(first), datetime.fromordinal(until)
    return [
        when.toordinal() for when in rrulestr(rule, dtstart=start).between(start, end, inc=True)
    ]


RULES = st.sampled_from(
    [
        "FREQ=DAILY", "FREQ=DAILY;INTERVAL=10", "FREQ=WEEKLY;BYDAY=SA", "FREQ=WEEKLY;BYDAY=MO,WE",
        "FREQ=WEEKLY;INTERVAL=2;BYDAY=TU,SU;WKST=SU", "FREQ=MONTHLY;BYMONTHDAY=1,15",
        "FREQ=MONTHLY;BYMONTHDAY=-1", "FREQ=MONTHLY;BYDAY=1SA", "FREQ=MONTHLY;BYDAY=-1FR,2MO",
        "FREQ=MONTHLY;INTERVAL=3;BYMONTHDAY=31", "FREQ=YEARLY;BYMONTH=4,10;BYMONTHDAY=1",
        "FREQ=WEEKLY;BYDAY=MO;BYMONTH=5,6,7,8,9", "FREQ=DAILY;BYMONTH=12",
    ]
)  # fmt: skip
LENGTHS = st.sampled_from([1, 2, 7, 28, 31])


@st.composite
def spans_of_days(draw: st.DrawFn) -> list[Span]:
    """Days of a few rules, with holes, strays and unlike lengths."""
    days: list[int] = draw(st.lists(DAYS, max_size=6))
    for rule in draw(st.lists(RULES, max_size=2)):
        days += regular(rule, *sorted((draw(DAYS), draw(DAYS))))
    holes = set(draw(st.lists(st.sampled_from(days), max_size=8))) if days else set()
    lengths = draw(st.lists(LENGTHS, min_size=1, max_size=2))
    return [
        (first, first + lengths[n % len(lengths)] - 1)
        for n, first in enumerate(days)
        if first not in holes
    ]


@settings(max_examples=300, deadline=None)
@given(spans_of_days(), st.integers(0, 6))
def test_any_spans_come_back_from_their_parts_and_no_others(
    spans: list[Span], week_start: int
) -> None:
    assert_holds(spans, week_start)


@settings(max_examples=100, deadline=None)
@given(RULES, DAYS, DAYS)
def test_days_of_a_rule_need_no_list(rule: str, one: int, other: int) -> None:
    days = regular(rule, *sorted((one, other)))
    if len(days) < 12:
        return
    (part,) = assert_holds([(first, first) for first in days], week_start_of(rule))
    assert part.rule
    assert not part.excepted


NEARLY = {
    "second-last-monday-6", "third-last-day", "jan-feb-mar-every-2-years-10",
    "days-1-100-200-every-3-years", "monday-of-week-20", "friday-13", "saturday-after-first-sunday",
    "second-last-weekday", "third-tue-wed-thu",
}  # fmt: skip
"""Examples of rules that are not looked for: another has these days too, and a few that are
excepted."""


@pytest.mark.parametrize("name", RECORDS)
def test_dates_of_the_examples_of_rfc_5545_are_given_by_a_rule(name: str) -> None:
    """recurrence.json: RFC 5545, section 3.8.5.3."""
    record = RECORDS[name]
    dates = sorted(date.fromisoformat(text).toordinal() for text in record["dates"])
    (part,) = assert_holds([(one, one) for one in dates], week_start_of(record["rrule"]))
    assert part.rule
    assert bool(part.excepted) == (name in NEARLY)


ROUTINES = [
    ("every day", "FREQ=DAILY"),
    ("every 10 days from 2026-01-01", "FREQ=DAILY;INTERVAL=10"),
    ("every weekday", "FREQ=WEEKLY;BYDAY=MO,TU,WE,TH,FR"),
    ("every tuesday, friday", "FREQ=WEEKLY;BYDAY=TU,FR"),
    ("every weekend", "FREQ=WEEKLY;BYDAY=SA"),
    ("every week", "FREQ=WEEKLY;BYDAY=MO"),
    ("every 2 weeks on thursday from 2026-01-08", "FREQ=WEEKLY;INTERVAL=2;BYDAY=TH"),
    ("every 2 weeks on sunday, monday from 2026-01-08", "FREQ=WEEKLY;INTERVAL=2;BYDAY=MO,SU;"
     "WKST=MO"),
    ("every monday during april to october", "FREQ=WEEKLY;BYMONTH=4,5,6,7,8,9,10;BYDAY=MO"),
    ("weekend 1", "FREQ=MONTHLY;BYDAY=1SA"),
    ("weekend last", "FREQ=MONTHLY;BYDAY=-1SA"),
    ("weekend 5", "FREQ=MONTHLY;BYDAY=5SA"),
    ("every month", "FREQ=MONTHLY;BYMONTHDAY=1"),
    ("every month on last", "FREQ=MONTHLY;BYMONTHDAY=-1"),
    ("every month on 1, 15", "FREQ=MONTHLY;BYMONTHDAY=1,15"),
    ("every month on last friday", "FREQ=MONTHLY;BYDAY=-1FR"),
    ("every 3 months from 2026-01-01", "FREQ=MONTHLY;INTERVAL=3;BYMONTHDAY=1"),
    ("every 2 months on friday from 2026-01-01", "FREQ=MONTHLY;INTERVAL=2;BYDAY=FR"),
    ("every march, april on 3", "FREQ=YEARLY;BYMONTH=3,4;BYMONTHDAY=3"),
    ("2 times every month", ""),
]  # fmt: skip


@pytest.mark.parametrize(("header", "rule"), ROUTINES)
def test_days_on_which_a_cadence_opens_have_the_rule_of_its_words(header: str, rule: str) -> None:
    household = house("since 2026-01-01", header, "    x")
    windows = timeline(household).between(day("2026-04-06"), day("2030-04-05"))
    days = [window.first for window in windows]
    parts = assert_holds([(first, first) for first in days])
    if rule:
        # A window that was begun before the days asked for may begin outside of them.
        assert parts[-1].rule == rule
        assert not parts[-1].excepted


def test_windows_of_months_have_a_rule_for_each_length() -> None:
    """A rule of 31 days from January on would reach into March."""
    windows = timeline(house("since 2026-01-01", "every month", "    x")).between(
        day("2026-01-01"), day("2033-12-31")
    )
    assert [(part.length, part.rule) for part in assert_holds([one[:2] for one in windows])] == [
        (28, "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=1"),
        (29, "FREQ=YEARLY;INTERVAL=4;BYMONTH=2;BYMONTHDAY=1"),
        (30, "FREQ=YEARLY;BYMONTH=4,6,9,11;BYMONTHDAY=1"),
        (31, "FREQ=YEARLY;BYMONTH=1,3,5,7,8,10,12;BYMONTHDAY=1"),
    ]


def test_days_of_a_rule_that_are_none_are_excepted() -> None:
    daily = [FIRST + n for n in range(365) if n not in (30, 31)]
    (part,) = assert_holds([(one, one) for one in daily])
    assert (part.rule, part.excepted) == ("FREQ=DAILY", (FIRST + 30, FIRST + 31))


def test_the_rule_of_fewest_bytes_is_taken() -> None:
    """Few days of each month are told by their numbers, many by all days but some."""
    few = [one for one in range(FIRST, FIRST + 700) if date.fromordinal(one).day in (3, 17)]
    many = [one for one in range(FIRST, FIRST + 700) if date.fromordinal(one).day != 17]
    assert [part.rule for part in assert_holds([(one, one) for one in few])] == [
        "FREQ=MONTHLY;BYMONTHDAY=3,17"
    ]
    (part,) = assert_holds([(one, one) for one in many])
    assert part.rule.startswith("FREQ=MONTHLY;BYMONTHDAY=")
    assert not part.excepted


@pytest.mark.parametrize("gap", [1, 5, 7, 29, 364, 365, 700])
def test_two_days_are_a_rule_and_one_is_none(gap: int) -> None:
    (part,) = assert_holds([(FIRST, FIRST), (FIRST + gap, FIRST + gap)])
    assert part.rule
    assert not part.excepted
    (single,) = assert_holds([(FIRST, FIRST + 3)])
    assert single == Part(FIRST, 4)


def test_rule_that_the_library_expands_otherwise_is_not_written(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What a rule was thought to have counts for nothing: only its expansion does."""
    spans = [(FIRST + 7 * n, FIRST + 7 * n) for n in range(50)]
    assert [part.rule for part in parts_of(spans)] == ["FREQ=WEEKLY;BYDAY=TH"]

    def without_one(rule: str, first: int, until: int) -> Sequence[int]:
        days = expand(rule, first, until)
        return days[:-1] if rule == "FREQ=WEEKLY;BYDAY=TH" else days

    monkeypatch.setattr(recurrence, "expand", without_one)
    (part,) = parts_of(spans)
    assert part.rule == "FREQ=MONTHLY;BYDAY=TH"
    assert first_days(part) == [first for first, _ in spans]

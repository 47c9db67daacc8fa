"""Windows against RFC 5545, written as its own text: RRULE for the cadence, EXDATE for `except`.

The simulator's calendar is held to it here; the product's is held to the same cases.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from itertools import pairwise
from typing import NamedTuple

import pytest
from dateutil.rrule import rrule, rruleset, rrulestr
from hypothesis import given, settings
from hypothesis import strategies as st
from random_homes import iso
from simulated_keeping import PlainBook

from ledger.text.values import DAYS, MONTHS

Spans = list[tuple[int, int]]
WindowsOf = Callable[[str, int], Spans]
"""The windows of chore `x` of a book that begin by a day."""

CODES = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
SCHOOL = ((10, 30), (45, 46), (70, 90))
"""Spans of the named days, counted from the first day of the book."""
LENGTH = 110


class Rule(NamedTuple):
    """A cadence as a header says it and as RFC 5545 does, and how long its spans are."""

    words: str
    rule: str
    days: int | None
    """None for a whole month."""
    every: int = 1
    """Days, weeks or months from one to the next that are left out; they count from `from`."""


class Case(NamedTuple):
    """A book of one chore."""

    rule: Rule
    since: int
    week_start: int
    weekend: int
    during: tuple[str, ...]
    excepted: tuple[str, ...]
    within: int | None

    def text(self) -> str:
        """The book."""
        weekend = f"{DAYS[self.weekend]}, {DAYS[(self.weekend + 1) % 7]}"
        spans = (f"{iso(self.since + low)} to {iso(self.since + high)}" for low, high in SCHOOL)
        words = [self.rule.words]
        words += [f"during {', '.join(self.during)}"] if self.during else []
        words += [f"except {', '.join(self.excepted)}"] if self.excepted else []
        words += [f"within {self.within} days"] if self.within else []
        words += [f"from {iso(self.since)}"] if self.rule.every > 1 else []
        lines = [
            f"since {iso(self.since)}",
            f"week starts {DAYS[self.week_start]}",
            f"weekend is {weekend}",
            f"days school {', '.join(spans)}",
            " ".join(words),
            "    x",
        ]
        return "\n".join([*lines, ""])


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Books with every cadence that RFC 5545 can say, over lists of days of every kind."""
    week_start, weekend = draw(st.integers(0, 6)), draw(st.integers(0, 6))
    some = draw(st.lists(st.integers(0, 6), min_size=1, max_size=3, unique=True))
    n, month = draw(st.integers(2, 3)), draw(st.integers(1, 12))
    days, codes = ", ".join(DAYS[d] for d in some), ",".join(CODES[d] for d in some)
    week = ",".join(CODES[d] for d in range(7) if d not in (weekend, (weekend + 1) % 7))
    start, unit = CODES[week_start], f"INTERVAL={n};WKST={CODES[week_start]}"
    parts = ",".join(CODES[(week_start + step) % 7] for step in (0, 4))
    rules = [
        Rule("every day", "FREQ=DAILY", 1),
        Rule(f"every {n} days", f"FREQ=DAILY;INTERVAL={n}", 1, n),
        Rule("every weekday", f"FREQ=WEEKLY;BYDAY={week}", 1),
        Rule("every weekend", f"FREQ=WEEKLY;BYDAY={CODES[weekend]}", 2),
        Rule("weekend 2, last", f"FREQ=MONTHLY;BYDAY=2{CODES[weekend]},-1{CODES[weekend]}", 2),
        Rule(f"every {days}", f"FREQ=WEEKLY;BYDAY={codes}", 1),
        Rule("every week", f"FREQ=WEEKLY;BYDAY={start}", 7),
        Rule(f"every {n} weeks", f"FREQ=WEEKLY;{unit};BYDAY={start}", 7, n),
        Rule(f"every {n} weeks on {days}", f"FREQ=WEEKLY;{unit};BYDAY={codes}", 1, n),
        Rule("every month", "FREQ=MONTHLY;BYMONTHDAY=1", None),
        Rule(f"every {n} months", f"FREQ=MONTHLY;INTERVAL={n};BYMONTHDAY=1", None, n),
        Rule("every month on 15, last", "FREQ=MONTHLY;BYMONTHDAY=15,-1", 1),
        Rule("every month on first saturday", "FREQ=MONTHLY;BYDAY=1SA", 1),
        Rule(f"every {MONTHS[month - 1]} on 2", f"FREQ=YEARLY;BYMONTH={month};BYMONTHDAY=2", 1),
        Rule("2 times every week", f"FREQ=WEEKLY;BYDAY={parts}", 4),
    ]
    items = st.sampled_from(["monday", "friday", "weekday", "weekend", "school", "march",
                             "november to february", "june to july"])  # fmt: skip
    lists = st.lists(items, max_size=2, unique=True).map(tuple)
    return Case(
        draw(st.sampled_from(rules)),
        date(2026, 1, 1).toordinal() + draw(st.integers(0, 500)),
        week_start, weekend, draw(lists), draw(lists), draw(st.none() | st.integers(1, 12)),
    )  # fmt: skip


def moment(day: int) -> datetime:
    """An ordinal as dateutil takes it."""
    return datetime.combine(date.fromordinal(day), datetime.min.time())


def rule_of(text: str, start: datetime) -> rrule:
    """A recurrence rule from its own text."""
    found = rrulestr(f"DTSTART:{start:%Y%m%dT%H%M%S}\nRRULE:{text}")
    assert isinstance(found, rrule)
    return found


def days_of(case: Case, item: str, low: datetime, high: datetime) -> set[datetime]:
    """The days of an item behind `during` or `except`."""
    if item == "school":
        spans = [(case.since + first, case.since + last) for first, last in SCHOOL]
        return {moment(day) for first, last in spans for day in range(first, last + 1)}
    weekend = {case.weekend, (case.weekend + 1) % 7}
    week = {"weekend": weekend, "weekday": set(range(7)) - weekend}
    days = week.get(item, {DAYS.index(item)} if item in DAYS else set())
    if days:
        text = f"FREQ=DAILY;BYDAY={','.join(CODES[day] for day in days)}"
    else:
        months = [MONTHS.index(name) + 1 for name in item.split(" to ")]
        run = range(months[0], months[-1] + 1 + 12 * (months[-1] < months[0]))
        text = f"FREQ=DAILY;BYMONTH={','.join(str((month - 1) % 12 + 1) for month in run)}"
    return set(rule_of(text, low).between(low, high, inc=True))


def expected(case: Case) -> Spans:
    """The windows that begin in the first days of the book, by RFC 5545 alone."""
    low, high = moment(case.since), moment(case.since + 400)
    in_force = rruleset()
    in_force.rrule(rule_of("FREQ=DAILY", low))
    for items, excepts in ((case.during, False), (case.excepted, True)):
        held = set().union(*(days_of(case, item, low, high) for item in items))
        for day in range(case.since, case.since + 401) if items else ():
            if (moment(day) in held) is excepts:
                in_force.exdate(moment(day))
    days = [when.toordinal() for when in in_force.between(low, high, inc=True)]
    firsts = [when.toordinal() for when in starts(case, high)]
    found = []
    for first, following in pairwise(firsts):
        month = (moment(first) + timedelta(31)).replace(day=1).toordinal() - first
        length = case.within or (month if case.rule.days is None else case.rule.days)
        left = [day for day in days if first <= day < min(first + length, following)]
        found += [(left[0], left[-1])] if left else []
    return [span for span in found if span[0] <= case.since + LENGTH]


def starts(case: Case, high: datetime) -> list[datetime]:
    """The first days of the spans, those too that begin some time before the book."""
    anchor = moment(case.since)
    if "WEEKLY" in case.rule.rule:
        anchor -= timedelta((case.since - 1 - case.week_start) % 7 + 7 * 6)
    elif "DAILY" in case.rule.rule:
        anchor -= timedelta(30)
    else:
        # January, so that every 2 or 3 months of it count on to the book's first month.
        months = (anchor.month - 1) % case.rule.every
        anchor = anchor.replace(year=anchor.year - 1, month=1 + months, day=1)
    return rule_of(case.rule.rule, anchor).between(anchor, high + timedelta(400), inc=True)


def simulated(text: str, until: int) -> Spans:
    """The simulator's windows."""
    return [(one.first, one.last) for one in PlainBook(text, until).windows("x", None, until)]


SIDES: list[WindowsOf] = [simulated]


@pytest.mark.parametrize("windows_of", SIDES)
@settings(max_examples=300)
@given(cases())
def test_windows_are_those_of_a_rule_without_the_days_that_are_excepted(
    windows_of: WindowsOf, case: Case
) -> None:
    assert windows_of(case.text(), case.since + LENGTH) == expected(case)

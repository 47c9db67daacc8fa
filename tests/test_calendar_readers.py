"""Calendars as two readers show them, against the windows that the simulator works out.

The readers are recurring-ical-events on Python and ical.js on Node, which share no code. All that
is read is also held to RFC 5545.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest
from books import day
from calendar_readers import by_node, by_python
from calendar_rules import faults_of
from calendar_views import ALWAYS, Seen, View, Way, random_view
from hypothesis import given, settings
from hypothesis import strategies as st

EXAMPLE = Path(__file__).parents[1] / "examples" / "quarry-lane"
CADENCES = (
    "every day", "every 3 days from 2026-01-31", "every 400 days within 9 days from 2026-02-20",
    "every weekday", "every weekend", "weekend 1", "weekend 2, 4", "weekend 5", "weekend last",
    "weekend 1, last within 4 days", "every tuesday, friday", "every week",
    "every 2 weeks from 2026-01-31", "every 3 weeks on tuesday, sunday from 2026-02-05",
    "every month", "every month on 1, 15", "every month on 31", "every month on 29, 30",
    "every month on last", "every month on first saturday", "every month on fifth thursday",
    "every month on last sunday, 15", "every month on friday", "every month on last within 5 days",
    "every month on 28 within 30 days", "every 3 months from 2026-01-31",
    "every 2 months on last, 29 from 2026-02-28", "every 5 months on second monday from 2026-02-01",
    "every april, october", "every february", "every february on 29", "every february on last",
    "every march, june, december on first monday", "2 times every week", "7 times every week",
    "3 times every 2 weeks from 2026-03-04", "4 times every month",
    "2 times every 2 months from 2026-03-04", "3 times every february, august",
    "once from 2027-02-20 to 2027-03-10",
)  # fmt: skip
"""Each kind of cadence that the calendar alone decides, over ends of months and of years."""
CLAUSES = (
    "every day during november to february", "every week during april to october",
    "every month on 1 during december to december", "every weekday during school",
    "every weekday except closed, august", "every weekend except closed",
    "every week except wednesday", "every week during weekend", "every 3 days during weekday "
    "from 2026-01-31", "every month except august", "every month during school",
    "every 2 weeks on thursday except closed from 2026-01-08",
    "every day from 2027-02-20 until 2027-03-05", "every month from 2027-02-20 until 2027-05-05",
    "every friday within 4 days until 2027-12-31", "every week spare", "every weekend vital",
    "every weekend expires", "weekend 3 paused", "once from 2026-08-20 to 2026-09-10 during school",
    "every 3 months within 50 days from 2026-01-31", "2 times every week except closed, sunday",
)  # fmt: skip
WEEKS = (
    ("monday", "saturday, sunday"),
    ("wednesday", "friday"),
    ("sunday", "thursday, friday, saturday"),
)
DECLARED = (
    "since 2026-01-01",
    "days school 2026-08-31 to 2026-10-09, 2026-10-19 to 2026-12-18, 2027-01-04 to 2027-03-25",
    "days closed 2026-12-25, 2026-12-28, 2027-03-26, 2027-03-29, 2027-12-24 to 2028-01-07",
    "days late every 4 weeks on friday within 3 days from 2026-01-02",
    "away 2026-07-13 to 2026-07-26",
    "away late",
    "rest 2026-11-09 to 2026-11-20, 2028-03-06 to 2028-03-10",
)


def book(headers: Iterable[str], week: tuple[str, str]) -> str:
    """A book with a chore of its own below each header."""
    lines = [*DECLARED, f"week starts {week[0]}", f"weekend is {week[1]}"]
    for number, header in enumerate(headers):
        lines += [f'{header} "Tin {number}"', f"    chore-{number}"]
    return "\n".join([*lines, ""])


def example() -> str:
    """The routine and the record of the example."""
    return "\n".join(path.read_text("utf-8") for path in sorted(EXAMPLE.glob("*.chores")))


VIEWS_OF_CADENCES = [
    View(book((*CADENCES, *CLAUSES), week), day(first), way)
    for week, first, way in (
        (WEEKS[0], "2026-01-01", Way()),
        (WEEKS[1], "2026-08-31", Way(todo=True)),
        (WEEKS[2], "2027-02-28", Way(by_chore=True)),
        (WEEKS[0], "2026-03-31", Way(by_chore=True, todo=True)),
    )
]
"""Every cadence and clause, from days that bring the ends of years, and a 29th of February."""
VIEWS_OF_THE_EXAMPLE = [
    View(example(), day("2026-03-04"), way)
    for way in (Way(), Way(by_chore=True), Way(todo=True, person="tam"), Way(person="edie"))
]


@cache
def file_of(view: View) -> bytes:
    """The calendar of a view."""
    return view.file()


@cache
def expected_of(view: View) -> list[Seen]:
    """What is to be seen of a view."""
    return view.expected()


def differing(found: Iterable[Seen], expected: Iterable[Seen]) -> tuple[list[Seen], list[Seen]]:
    """What is seen and should not be, and what is not and should: entries count as often as they
    are there."""
    seen, wanted = Counter(found), Counter(expected)
    return sorted((seen - wanted).elements()), sorted((wanted - seen).elements())


NOTHING: tuple[list[Seen], list[Seen]] = ([], [])


def by_python_differs(view: View) -> tuple[list[Seen], list[Seen]]:
    """What recurring-ical-events shows of a view that is not as it should be."""
    assert faults_of(file_of(view)) == []
    return differing(view.seen(by_python(file_of(view), *ALWAYS)), expected_of(view))


@pytest.mark.parametrize("view", VIEWS_OF_CADENCES, ids=lambda view: str(view.way))
def test_every_cadence_has_its_windows_of_two_years(view: View) -> None:
    # A 29th of February is not in every two years, and what is paused is in none.
    assert len({chore for one in expected_of(view) for chore in one.chores}) > 55
    assert by_python_differs(view) == NOTHING


@pytest.mark.parametrize("view", VIEWS_OF_THE_EXAMPLE, ids=lambda view: str(view.way))
def test_the_example_has_its_windows_as_its_record_has_them(view: View) -> None:
    assert by_python_differs(view) == NOTHING


@settings(max_examples=60)
@given(st.integers(0, 2**32))
def test_random_homes_with_any_record_have_their_windows(seed: int) -> None:
    assert by_python_differs(random_view(seed)) == NOTHING


RARE = {
    "moved out of its days, to where only one of two is there": (
        "every monday except thursday", "    bins by ana or ben", "away 2026-03-05 by ana",
        "2026-03-02 moved bins to 2026-03-05",
    ),
    "late, on a day on which only one of two is there": (
        "once from 2026-02-02 to 2026-02-08", "    tree by ana or ben", "rest 2026-03-03 by ana",
    ),
    "shares that come out on days of their own": (
        "every week", "    beds by each", "away 2026-03-09 to 2026-03-10 by ana",
        "rest 2026-03-16 to 2026-03-22 by ben",
    ),
    "moved to before its first day": (
        "every month on 15 until 2026-03-31", "    rug", "2026-03-01 moved rug to 2026-03-02",
    ),
}  # fmt: skip
"""What random homes have seldom."""


@pytest.mark.parametrize("lines", RARE.values(), ids=RARE)
@pytest.mark.parametrize("by_chore", [False, True])
def test_what_is_rare_has_its_windows_too(lines: tuple[str, ...], by_chore: bool) -> None:
    text = "\n".join(["since 2026-02-01", "person ana", "person ben", *lines, ""])
    assert by_python_differs(View(text, day("2026-03-03"), Way(by_chore))) == NOTHING


def test_a_reader_of_another_language_shows_the_same() -> None:
    views = [*VIEWS_OF_CADENCES, *VIEWS_OF_THE_EXAMPLE, *map(random_view, range(60))]
    found = by_node(map(file_of, views), *ALWAYS)
    for view, occurrences in zip(views, found, strict=True):
        assert differing(view.seen(occurrences), expected_of(view)) == NOTHING, view

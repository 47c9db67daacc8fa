"""Texts that a calendar must escape and fold, read back by two readers; examples of RFC 5545."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

import pytest
from books import day
from calendar_readers import Occurrence, by_node, by_python
from calendar_rules import faults_of
from calendar_views import ALWAYS, MADE
from hypothesis import given, settings
from hypothesis import strategies as st
from product_answers import household_of
from strategies import titles

from ledger.render.as_icalendar import Form, to_icalendar
from ledger.report.calendar import calendar_of
from ledger.text.writer import quoted

ON = day("2026-03-02")
HOSTILE = (
    "commas, and; semicolons;, both",
    r"a \ backslash, two \\, and one at the end \ ".strip(),
    r"\n is no new line, nor is \N, \, or \;",
    'quotes "in" the "middle" and at the end"',
    "x" * 200,
    "é" * 200,
    "窓" * 100,
    "👨‍👩‍👧‍👦 " * 30,
    "👍🏽🏳️‍🌈🇬🇧" * 12,
    "‏שטיפת כלים, כל יום‏",
    "غسل الأطباق؛ كل يوم، " * 8,
    "e\u0301" * 90 + "\u0315\u0300",
    "a\u0334\u0335\u0336\u0337\u0338" * 20,
    "BEGIN:VEVENT",
    "END:VCALENDAR",
    "SUMMARY;LANGUAGE=en:x",
    " leads and trails with blanks ",
    "tab\there\tand there",
    "ends with a colon:",
    "- looks like a step",
    "Container: looks like ours",
    "=?utf-8?B?eA==?= %0D%0A &amp; <b> ^n ^' ^^",
    "\u00a0no-break\u202fblanks\u2009and\u3000others\u00ad",
    "\u0300begins with a mark",
    "𝔣𝔯𝔞𝔨𝔱𝔲𝔯 𐐷 " * 10,
    "#",
)
"""Titles that a book may have (FORMAT.md, section 3)."""


def book(texts: Sequence[str]) -> str:
    """A book whose containers, chores, steps and areas have these titles."""
    lines = ["since 2026-01-01", f"household {quoted(texts[0])}"]
    for number, text in enumerate(texts):
        lines += [f"area a{number} {quoted(text)}"]
    for number, text in enumerate(texts):
        lines += [f"every month on {number % 28 + 1} {quoted(f'{number} {text}')}"]
        lines += [f"    c{number} in a{number} {quoted(text)}", f"        - {text}"]
    return "\n".join([*lines, ""])


def calendar(text: str, by_chore: bool, todo: bool = False) -> bytes:
    """The calendar of a book, with a reminder."""
    found = calendar_of(household_of(text, ON), ON, 1, by_chore=by_chore)
    file = to_icalendar(found, Form(MADE, todo, timedelta(hours=4)))
    assert faults_of(file) == []
    return file


def first_of_each(occurrences: Sequence[Occurrence]) -> list[Occurrence]:
    """The first occurrence of each entry."""
    found: dict[str, Occurrence] = {}
    for one in occurrences:
        found.setdefault(one.uid, one)
    return list(found.values())


def test_hostile_titles_are_read_back_by_both_readers() -> None:
    files = [
        calendar(book(HOSTILE), by_chore, todo)
        for by_chore in (False, True)
        for todo in (False, True)
    ]
    for number, (file, by_ical_js) in enumerate(zip(files, by_node(files, *ALWAYS), strict=True)):
        assert by_ical_js == sorted(by_python(file, *ALWAYS))
        told = {(one.summary, one.description) for one in by_ical_js}
        for place, text in enumerate(HOSTILE):
            # A step has no blanks at its ends.
            step = "- " + text.strip(" \t")
            if number < 2:
                wanted = f"{place} {text}: {text}", f"{text}: {text}\n{step}"
            else:
                wanted = text, f"{text}\n{step}\n\nContainer: {place} {text}"
            assert wanted in told


@settings(max_examples=60)
@given(st.lists(titles, min_size=1, max_size=6))
def test_any_titles_are_read_back(texts: list[str]) -> None:
    found = by_python(calendar(book(texts), by_chore=True), *ALWAYS)
    assert {one.summary for one in found} == set(texts)


# ------------------------------------------------------------------ RFC 5545, September 2009


def lines_of(file: bytes) -> set[str]:
    """The content lines of a calendar."""
    return set(file.replace(b"\r\n ", b"").decode().split("\r\n"))


def test_days_in_a_row_are_as_in_section_3_6_1() -> None:
    """Its second example of whole days: from 28 June to 8 July 2007, the last day included."""
    text = 'since 2007-01-01\nonce from 2007-06-28 to 2007-07-08\n    x "Festival"\n'
    found = calendar_of(household_of(text, day("2007-06-01")), day("2007-06-01"), 1, by_chore=True)
    file = to_icalendar(found, Form(MADE))
    published = {
        "BEGIN:VEVENT", "DTSTART;VALUE=DATE:20070628", "DTEND;VALUE=DATE:20070709",
        "TRANSP:TRANSPARENT", "END:VEVENT",
    }  # fmt: skip
    assert published < lines_of(file)
    for one in (*by_python(file, *ALWAYS), *by_node([file], *ALWAYS)[0]):
        assert (one.first, one.last) == (date(2007, 6, 28), date(2007, 7, 8))


def test_a_day_of_each_year_is_as_in_section_3_6_1() -> None:
    """Its first example of whole days: 2 November of each year, from 1997 on."""
    published = (
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\n"
        b"UID:19970901T130000Z-123403@example.com\r\nDTSTAMP:19970901T130000Z\r\n"
        b"DTSTART;VALUE=DATE:19971102\r\nSUMMARY:Our Blissful Anniversary\r\n"
        b"TRANSP:TRANSPARENT\r\nCLASS:CONFIDENTIAL\r\n"
        b"CATEGORIES:ANNIVERSARY,PERSONAL,SPECIAL OCCASION\r\nRRULE:FREQ=YEARLY\r\n"
        b"END:VEVENT\r\nEND:VCALENDAR\r\n"
    )
    text = "since 1997-01-01\nevery november on 2\n    x\n"
    on, span = day("1997-09-01"), (date(1997, 9, 1), date(2007, 8, 31))
    ours = to_icalendar(calendar_of(household_of(text, on), on, 10), Form(MADE))
    assert faults_of(published) == faults_of(ours) == []
    days = {
        tuple((one.first, one.last) for one in shown)
        for file in (published, ours)
        for shown in (by_python(file, *span), by_node([file], *span)[0])
    }
    assert days == {tuple((date(year, 11, 2), date(year, 11, 2)) for year in range(1997, 2007))}


def test_an_alarm_is_as_in_section_3_6_6() -> None:
    """Its example of an alarm that is shown, less its repeats: 30 minutes before the start."""
    text = 'since 2026-01-01\nevery monday\n    x "Breakfast meeting"\n'
    found = calendar_of(household_of(text, ON), ON, 1, by_chore=True)
    for minutes, trigger in ((30, "-PT30M"), (4 * 60, "-PT4H"), (16 * 60 + 30, "-PT16H30M")):
        file = to_icalendar(found, Form(MADE, reminder=timedelta(minutes=minutes)))
        published = {
            "BEGIN:VALARM", f"TRIGGER:{trigger}", "ACTION:DISPLAY",
            "DESCRIPTION:Breakfast meeting", "END:VALARM",
        }  # fmt: skip
        assert published < lines_of(file)
        for one in (*by_python(file, *ALWAYS), *by_node([file], *ALWAYS)[0]):
            assert one.alarms == (-timedelta(minutes=minutes),)


@pytest.mark.parametrize("todo", [False, True])
def test_a_reminder_is_there_each_time_for_both_readers(todo: bool) -> None:
    file = calendar("since 2026-01-01\nevery weekend\n    x\nevery month\n    y\n", True, todo)
    by_ical_js = by_node([file], *ALWAYS)[0]
    assert by_ical_js == sorted(by_python(file, *ALWAYS))
    assert {one.alarms for one in by_ical_js} == {(-timedelta(hours=4),)}
    # March has begun, and so has 13 windows.
    assert len(by_ical_js) == 52 + 13

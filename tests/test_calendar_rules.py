"""The checks of calendars themselves: what RFC 5545 forbids is found, and what it shows is read."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from calendar_readers import by_node, by_python
from calendar_rules import components, faults_of, unfolded
from calendar_store import Store, entries_of

SOUND = """\
BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//12 Quarry Lane//Checks//EN
BEGIN:VEVENT
UID:bins@example.com
DTSTAMP:20260101T090000Z
SEQUENCE:3
DTSTART;VALUE=DATE:20260105
DTEND;VALUE=DATE:20260106
RRULE:FREQ=WEEKLY;BYDAY=MO;UNTIL=20260302
EXDATE;VALUE=DATE:20260112,20260119
RDATE;VALUE=DATE:20260113
SUMMARY:Bins\\, "both"\\; and\\nthe \\\\ box
BEGIN:VALARM
ACTION:DISPLAY
TRIGGER:-PT4H
DESCRIPTION:Bins
END:VALARM
END:VEVENT
BEGIN:VEVENT
UID:bins@example.com
RECURRENCE-ID;VALUE=DATE:20260126
DTSTAMP:20260101T090000Z
DTSTART;VALUE=DATE:20260127
DTEND;VALUE=DATE:20260128
SUMMARY:Bins\\, a day late
END:VEVENT
BEGIN:VTODO
UID:oven@example.com
DTSTAMP:20260101T090000Z
DTSTART;VALUE=DATE:20260105
DUE;VALUE=DATE:20260112
SUMMARY:Oven
END:VTODO
BEGIN:VTODO
UID:hob@example.com
DTSTAMP:20260101T090000Z
DTSTART:20260105T000000
DUE:20260105T235959
RRULE:FREQ=WEEKLY;UNTIL=20260119T000000
EXDATE:20260112T000000
SUMMARY:Hob
END:VTODO
END:VCALENDAR
"""
WRONG = {
    "\r\n": ("\n", "3.1"),
    "SUMMARY:Oven": ("SUMMARY:" + 30 * "Oven", "3.1"),
    "UID:oven@example.com\r\n": ("", "3.6"),
    "VERSION:2.0": ("VERSION:2.0\r\nVERSION:2.0", "3.6"),
    "VERSION:2.0\r\n": ("", "3.6"),
    "TRIGGER:-PT4H\r\n": ("", "3.6"),
    "ACTION:DISPLAY": ("ACTION:AUDIO", "3.8.6.1"),
    "TRIGGER:-PT4H": ("TRIGGER:-4H", "3.8.6.3"),
    "Bins\\,": ("Bins,", "3.3.11"),
    "\\;": (";", "3.3.11"),
    "\\\\ box": ("\\ box", "3.3.11"),
    "DTSTART;VALUE=DATE:20260127": ("DTSTART:20260127", "3.3.4"),
    "DTEND;VALUE=DATE:20260128": ("DTEND:20260128T000000", "3.6.1"),
    "DUE;VALUE=DATE:20260112": ("DUE;VALUE=DATE:20260105", "3.8.2.2, 3.8.2.3"),
    "DTEND;VALUE=DATE:20260106": ("DTEND;VALUE=DATE:20260105", "3.8.2.2"),
    "EXDATE;VALUE=DATE:20260112": ("EXDATE;TZID=UTC:20260112", "3.2.20"),
    "20260112,20260119": ("20260112,20260120", "3.8.5.1"),
    "RDATE;VALUE=DATE:20260113": ("RDATE;VALUE=DATE:20260230", "3.3.4"),
    "UNTIL=20260302": ("UNTIL=20260302T000000Z", "3.3.10"),
    "FREQ=WEEKLY": ("FREQ=WEEKLY;COUNT=9", "3.3.10"),
    "BYDAY=MO": ("BYDAY=1MO", "3.3.10"),
    "DTSTART;VALUE=DATE:20260105\r\nDTEND": ("DTSTART;VALUE=DATE:20260104\r\nDTEND", "3.8.5.3"),
    "DTSTAMP:20260101T090000Z\r\nSEQ": ("DTSTAMP:20260101T090000\r\nSEQ", "3.8.7.2"),
    "SEQUENCE:3": ("SEQUENCE:later", "3.8.7.4"),
    "UID:oven": ("UID:bins", "3.8.4.7"),
    "bins@example.com\r\nRECUR": ("bins@example.org\r\nRECUR", "3.8.4.4"),
    "END:VTODO": ("END:VEVENT", "3.6"),
    "BEGIN:VALARM": ("BEGIN:VEVENT", "3.6"),
    "SUMMARY:Oven\r\n": ("SUMMARY;=:Oven\r\n", "3.1"),
    "PRODID": ("ATTENDEE:mailto:a@example.com\r\nPRODID", "3.6"),
}
"""What to put in place of what, and the section that forbids it."""


def sound() -> bytes:
    """The sound calendar, as it is written."""
    return SOUND.replace("\n", "\r\n").encode()


def test_a_sound_calendar_has_no_fault() -> None:
    assert faults_of(sound()) == []


@pytest.mark.parametrize("place", WRONG)
def test_what_the_standard_forbids_is_found(place: str) -> None:
    instead, section = WRONG[place]
    assert place in sound().decode()
    faults = faults_of(sound().decode().replace(place, instead, 1).encode())
    assert any(fault.startswith(section) for fault in faults), faults


def test_a_fold_inside_of_a_character_is_found() -> None:
    # The first octet of an e with an accent, a fold, and the second.
    folded = sound().replace(b"SUMMARY:Oven", b"SUMMARY:\xc3\r\n \xa9tag\xc3\xa8re")
    assert [fault[:4] for fault in faults_of(folded)] == ["3.1:", "3.1:"]


def test_both_readers_show_what_the_calendar_says() -> None:
    low, high = date(2026, 1, 1), date(2026, 12, 31)
    (by_ical_js,) = by_node([sound()], low, high)
    found = by_python(sound(), low, high)
    assert found == by_ical_js
    days = [f"{one.first:%m-%d} {one.last:%m-%d} {one.summary.split()[0]}" for one in found]
    assert days == [
        *("01-05 01-05 Bins,", "01-13 01-13 Bins,", "01-27 01-27 Bins,", "02-02 02-02 Bins,"),
        *("02-09 02-09 Bins,", "02-16 02-16 Bins,", "02-23 02-23 Bins,", "03-02 03-02 Bins,"),
        *("01-05 01-05 Hob", "01-19 01-19 Hob", "01-05 01-12 Oven"),
    ]
    assert found[0].summary == 'Bins, "both"; and\nthe \\ box'
    assert found[0].alarms == (-timedelta(hours=4),)


def test_lines_are_unfolded_by_taking_away_one_blank() -> None:
    lines, faults = unfolded(b"BEGIN:V\r\n CALENDAR\r\nEND:VCAL\r\n  ENDAR\r\n")
    assert (lines, faults) == (["BEGIN:VCALENDAR", "END:VCAL ENDAR"], [])
    assert components(["BEGIN:VCALENDAR"])[1] == [
        "3.4: something is not closed, or outside of the calendar"
    ]


def test_a_store_keeps_the_newer_revision_and_takes_nothing_away() -> None:
    store = Store()
    store.take(sound())
    assert store.entries == entries_of(sound())
    older = sound().replace(b"SEQUENCE:3", b"SEQUENCE:2").replace(b'Bins\\, "both"', b"Older")
    same = sound().replace(b"SUMMARY:Oven", b"SUMMARY:Grill")
    for calendar in (older, same):
        store.take(calendar)
    assert store.entries == entries_of(sound())
    newer = same.replace(b"20260101T090000Z", b"20260102T090000Z")
    store.take(newer)
    assert store.entries == entries_of(newer)
    store.take(sound().replace(b"UID:oven", b"UID:grill"))
    assert {"oven@example.com", "grill@example.com"} < store.uids

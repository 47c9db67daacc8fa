"""What two libraries make of calendars: recurring-ical-events on Python, ical.js on Node."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from typing import Any, NamedTuple

import icalendar
import recurring_ical_events
from node_scripts import CALENDARS, packages, tells

KINDS = ("VEVENT", "VTODO")


class Occurrence(NamedTuple):
    """A day or several in a row on which a reader shows an entry."""

    kind: str
    uid: str
    first: date
    last: date
    """For a to-do, the day it is due."""
    summary: str
    description: str
    alarms: tuple[timedelta, ...]
    """How long after the start of its first day it reminds."""


def by_python(calendar: bytes, low: date, high: date) -> list[Occurrence]:
    """What recurring-ical-events shows of a calendar in some days, both included."""
    found = recurring_ical_events.of(icalendar.Calendar.from_ical(calendar), components=KINDS)
    between = found.between(low, high + timedelta(1))
    return sorted(_of_python(entry) for entry in between)


def _of_python(entry: Any) -> Occurrence:
    kind = str(entry.name)
    return Occurrence(
        kind,
        str(entry["UID"]),
        _day(entry["DTSTART"].dt),
        _last(kind, entry["DTEND" if kind == "VEVENT" else "DUE"].dt),
        str(entry.get("SUMMARY", "")),
        str(entry.get("DESCRIPTION", "")),
        tuple(alarm["TRIGGER"].dt for alarm in entry.walk("VALARM")),
    )


def _last(kind: str, end: date) -> date:
    """The last day: the end of an event is not part of it (RFC 5545, 3.6.1)."""
    return _day(end) - timedelta(kind == "VEVENT")


def _day(moment: date) -> date:
    return moment.date() if isinstance(moment, datetime) else moment


def by_node(calendars: Iterable[bytes], low: date, high: date) -> list[list[Occurrence]]:
    """What ical.js shows of each calendar in some days, both included."""
    told = {
        "packages": str(packages(CALENDARS)),
        "calendars": [calendar.decode("utf-8") for calendar in calendars],
        "low": low.isoformat(),
        "high": high.isoformat(),
    }
    return [sorted(_of_node(found)) for found in tells("expand_calendar.mjs", told)]


def _of_node(found: Sequence[dict[str, Any]] | str) -> list[Occurrence]:
    assert not isinstance(found, str), f"ical.js refuses a calendar: {found}"
    return [
        Occurrence(
            one["kind"].upper(),
            one["uid"],
            _day(datetime.fromisoformat(one["start"])),
            _last(one["kind"].upper(), datetime.fromisoformat(one["end"])),
            one["summary"] or "",
            one["description"] or "",
            tuple(timedelta(seconds=seconds) for seconds in one["alarms"]),
        )
        for one in found
    ]

"""Calendars as iCalendar (RFC 5545), for programs that show calendars or lists.

An event is a whole day, or the days of a window: DTSTART is a DATE, and DTEND is the day after the
last, which it does not count (section 3.6.1). It takes nobody's time (TRANSP, section 3.8.2.7).

A to-do has a DUE, which must be later than its DTSTART and of the same type (section 3.8.2.3); and
one that recurs by an RRULE must have a DTSTART (section 3.8.2.4). So a to-do of one day cannot
have that date for both. The day after as its DUE would be right by the letter, "before which" it is
to be done, but many programs would show it as due a day late. So a to-do has local times without a
zone (section 3.3.5): from the first moment of its first day to the last second of its last.

An alarm counts from the beginning of DTSTART, which of a date is midnight where the reader is
(section 3.8.6.3). RECURRENCE-ID is never needed: all times that are alike are one component, and by
a RECURRENCE-ID each of them would be one.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import Any, NamedTuple
from uuid import UUID, uuid5

import icalendar
from icalendar.prop import vCategory

from ledger.calendar.week import MAX_DAY
from ledger.render.calendar_text import calendar_name, description, summary
from ledger.render.recurrence import Part, parts_of
from ledger.report.calendar_entries import Calendar, CalendarEntry

PRODID = "-//besom//besom calendar//EN"
_VIEW = "x-besom-view"
"""A property of our own (RFC 5545, section 3.8.8.2), by which an earlier export of the same view is
known."""
_SPACE = UUID("6f1f3f0e-3f5c-4c55-9d0e-6b1d2a0b8c47")
"""The space of names in which uuid5 makes the UIDs (RFC 9562, section 5.5)."""
_COUNTED_FROM = datetime(2020, 1, 1, tzinfo=UTC)
"""SEQUENCE counts seconds from here: it must grow with each export, and has 32 bits until 2088
(RFC 5545, sections 3.3.8 and 3.8.7.4)."""
_DAY_BEGINS, _DAY_ENDS = time(0), time(23, 59, 59)


class _Text(icalendar.vText):
    """A text, escaped by RFC 5545, section 3.3.11. The library would take a backslash and an N that
    stand in it for a line end."""

    def to_ical(self) -> bytes:
        """The text as it stands behind the name of a property."""
        text = str(self).replace("\\", "\\\\").replace("\n", "\\n")
        return text.replace(";", "\\;").replace(",", "\\,").encode()


class Form(NamedTuple):
    """What entries become."""

    made: datetime
    """The time of the export."""
    todo: bool = False
    """True for to-dos, False for events."""
    reminder: timedelta | None = None
    """How long before an entry begins it reminds of itself."""


class Exported(NamedTuple):
    """A component of an earlier export."""

    summary: str
    first: date
    last: date
    """The last day of its last time."""


def to_icalendar(calendar: Calendar, form: Form) -> bytes:
    """The calendar as a file: one component an entry, or one for each length of its windows where
    the length counts and differs."""
    file = icalendar.Calendar()
    name = _Text(calendar_name(calendar))
    file.add("prodid", PRODID)
    file.add("version", "2.0")
    file.add("name", name)
    # RFC 7986, section 5.1, has NAME; more programs know this older one.
    file.add("x-wr-calname", name)
    file.add(_VIEW, _view(calendar, form))
    for entry in calendar.entries:
        for part in _parts(calendar, entry, form):
            file.add_component(_component(calendar, entry, part, form))
    data: bytes = file.to_ical()
    return data


class Export(NamedTuple):
    """An earlier export."""

    view: str
    """What it was made of, as `_view` has it."""
    by_uid: Mapping[str, Exported]


def exported(data: bytes) -> Export | None:
    """What an earlier export holds; None for a file that is none."""
    if PRODID.encode("ascii") not in data:
        return None
    try:
        file = icalendar.Calendar.from_ical(data)
        if file.get("prodid") != PRODID:
            return None
        by_uid = {str(one["uid"]): _exported(one) for one in file.walk() if "uid" in one}
        return Export(str(file.get(_VIEW, "")), by_uid)
    except (ValueError, KeyError, AttributeError, TypeError):
        # What is not as we write it is somebody else's.
        return None


def _exported(one: Any) -> Exported:
    days = [one["dtstart"].dt, *(one["rrule"]["until"] if "rrule" in one else ())]
    first, *more = (_day(day) for day in days)
    length = _day(one["due"].dt) - first if "due" in one else one.duration - timedelta(days=1)
    return Exported(str(one.get("summary", "")), first, max([first, *more]) + length)


def _day(when: date) -> date:
    return date(*when.timetuple()[:3])


def _view(calendar: Calendar, form: Form) -> str:
    """What was asked for, beside the years: entries of two views are not compared."""
    asked = calendar.person, calendar.area, calendar.only, calendar.by_chore, form.todo
    return str(uuid5(_SPACE, json.dumps(asked)))


# -------------------------------------------------------------------------------------- components


def _parts(calendar: Calendar, entry: CalendarEntry, form: Form) -> list[Part]:
    """The parts of an entry. An event of a container stands on the day it comes out alone."""
    spans = entry.spans
    if not (form.todo or calendar.by_chore):
        spans = tuple((first, first) for first, _ in spans)
    return parts_of(spans, calendar.week_start)


def _component(
    calendar: Calendar, entry: CalendarEntry, part: Part, form: Form
) -> icalendar.Event | icalendar.Todo:
    one = icalendar.Todo() if form.todo else icalendar.Event()
    one.add("uid", _uid(calendar, entry, part, form))
    for name in ("dtstamp", "last-modified"):
        one.add(name, form.made)
    one.add("sequence", max(0, int((form.made - _COUNTED_FROM).total_seconds())))
    for name, value in _times(part, form.todo):
        one.add(name, value)
    title = _Text(summary(entry, calendar.by_chore))
    one.add("summary", title)
    if text := description(entry, calendar.by_chore):
        one.add("description", _Text(text))
    areas = dict.fromkeys(area for line in entry.lines for area in line.areas)
    if areas:
        categories = vCategory(list(areas))
        categories.cats = [_Text(area) for area in areas]
        one.add("categories", categories)
    if not form.todo:
        one.add("transp", "TRANSPARENT")
    if form.reminder is not None:
        alarm = icalendar.Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", title)
        alarm.add("trigger", -form.reminder)
        one.add_component(alarm)
    return one


def _times(part: Part, todo: bool) -> Iterator[tuple[str, object]]:
    """The properties that say when a part takes place."""

    def begins(day: int) -> date:
        when = date.fromordinal(day)
        return datetime.combine(when, _DAY_BEGINS) if todo else when

    end = part.first + part.length
    yield "dtstart", begins(part.first)
    if todo:
        yield "due", datetime.combine(date.fromordinal(end - 1), _DAY_ENDS)
    elif end > MAX_DAY:
        # After the last day of the calendar there is none.
        yield "duration", timedelta(days=part.length)
    else:
        yield "dtend", begins(end)
    if part.rule:
        rule = icalendar.vRecur.from_ical(part.rule)
        rule["UNTIL"] = begins(part.until)
        yield "rrule", rule
    if part.excepted:
        yield "exdate", [begins(day) for day in part.excepted]


def _uid(calendar: Calendar, entry: CalendarEntry, part: Part, form: Form) -> str:
    """The UID of a part: the same in each export of a book, so that importing again updates. What
    is told of one person or area, or in another way, has others: both may be imported."""
    kind = ("todo" if form.todo else "event", "chore" if calendar.by_chore else "container")
    whose = calendar.household, calendar.person, calendar.area
    what = entry.chore or entry.container, entry.chore is not None, entry.apart
    # What comes once keeps its UID when it is late, and has one day then.
    length = 0 if entry.comes_once else part.length
    return str(uuid5(_SPACE, json.dumps((kind, whose, what, length))))

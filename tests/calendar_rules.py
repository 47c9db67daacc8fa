"""What RFC 5545 (iCalendar, September 2009) asks of a calendar of whole days, as far as no library
holds us to it. Sections are those of the RFC."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import NamedTuple

from dateutil.rrule import rrulestr

OCTETS = 75
"""The octets of a line at most, without its end (3.1)."""
ONCE = {
    "VCALENDAR": {"PRODID", "VERSION", "CALSCALE", "METHOD", "NAME"},
    "VEVENT": {
        "DTSTAMP", "UID", "DTSTART", "CLASS", "CREATED", "DESCRIPTION", "GEO", "LAST-MODIFIED",
        "LOCATION", "ORGANIZER", "PRIORITY", "SEQUENCE", "STATUS", "SUMMARY", "TRANSP", "URL",
        "RECURRENCE-ID", "RRULE", "DTEND", "DURATION",
    },
    "VTODO": {
        "DTSTAMP", "UID", "CLASS", "COMPLETED", "CREATED", "DESCRIPTION", "DTSTART", "GEO",
        "LAST-MODIFIED", "LOCATION", "ORGANIZER", "PERCENT-COMPLETE", "PRIORITY", "RECURRENCE-ID",
        "SEQUENCE", "STATUS", "SUMMARY", "URL", "RRULE", "DUE", "DURATION",
    },
    "VALARM": {"ACTION", "DESCRIPTION", "TRIGGER", "DURATION", "REPEAT"},
}  # fmt: skip
"""Properties that stand at most once: 3.6 (calprops), 3.6.1, 3.6.2, 3.6.6 (dispprop); NAME is of
RFC 7986 (New Properties for iCalendar, October 2016), 5.1. LAST-MODIFIED is 3.8.7.3."""
OFTEN = {
    "ATTACH", "ATTENDEE", "CATEGORIES", "COMMENT", "CONTACT", "EXDATE", "REQUEST-STATUS",
    "RELATED-TO", "RESOURCES", "RDATE",
}  # fmt: skip
"""Properties of an event or a to-do that may stand more than once (3.6.1, 3.6.2)."""
REQUIRED = {
    "VCALENDAR": {"PRODID", "VERSION"},
    "VEVENT": {"DTSTAMP", "UID", "DTSTART"},
    "VTODO": {"DTSTAMP", "UID"},
    "VALARM": {"ACTION", "DESCRIPTION", "TRIGGER"},
}
INSIDE = {"": {"VCALENDAR"}, "VCALENDAR": {"VEVENT", "VTODO"}, "VEVENT": {"VALARM"},
          "VTODO": {"VALARM"}, "VALARM": set[str]()}  # fmt: skip
TEXTS = {"SUMMARY", "DESCRIPTION", "LOCATION", "UID", "PRODID", "COMMENT"}
DAYS = {"DTSTART", "DTEND", "DUE", "RECURRENCE-ID", "EXDATE", "RDATE"}
"""Properties whose values are of the type of DTSTART (3.6.1, 3.8.2.2, 3.8.2.3, 3.8.4.4, 3.8.5.1,
3.8.5.2): dates, which `VALUE=DATE` says (3.2.20), or of a to-do local times (3.3.5)."""

_LINE = re.compile(
    r'([A-Z0-9-]+)((?:;[A-Z0-9-]+=(?:"[^"\x00-\x08\x0a-\x1f\x7f]*"|[^";:,\x00-\x08\x0a-\x1f\x7f]*)'
    r'(?:,(?:"[^"]*"|[^";:,]*))*)*):(.*)',
    re.DOTALL,
)
"""A content line (3.1): a name, its parameters, a colon, a value."""
_TEXT = re.compile(r"(?:[^\\,;\x00-\x08\x0a-\x1f\x7f]|\\[\\;,nN])*")
"""A text (3.3.11): a backslash, a comma and a semicolon are escaped, and so is a new line."""
_DATE, _LOCAL = re.compile(r"\d{8}"), re.compile(r"\d{8}T\d{6}")
_UTC = re.compile(r"\d{8}T\d{6}Z")
_DURATION = re.compile(r"[+-]?P(?:\d+W|(?=\d|T\d)(?:\d+D)?(?:T(?=\d)(?:\d+H)?(?:\d+M)?(?:\d+S)?)?)")


class Property(NamedTuple):
    """A content line."""

    name: str
    parameters: str
    value: str


@dataclass
class Component:
    """What stands between BEGIN and END."""

    name: str
    properties: list[Property] = field(default_factory=list)
    parts: list[Component] = field(default_factory=list)

    def values(self, name: str) -> list[str]:
        """The values of a property, of all its lines, lists taken apart."""
        found = [one.value for one in self.properties if one.name == name]
        return [value for text in found for value in text.split(",")] if name in DAYS else found

    def value(self, name: str) -> str:
        """The one value of a property; an empty text where it is not there."""
        return next(iter(self.values(name)), "")


def unfolded(calendar: bytes) -> tuple[list[str], list[str]]:
    """The content lines of a calendar, and what is wrong with their ends, lengths and folds."""
    faults = []
    if not calendar.endswith(b"\r\n") or re.search(rb"(?<!\r)\n|\r(?!\n)", calendar):
        faults.append("3.1: each line ends with CR LF, and neither stands elsewhere")
    lines: list[str] = []
    for line in calendar.removesuffix(b"\r\n").split(b"\r\n"):
        if len(line) > OCTETS:
            faults.append(f"3.1: {len(line)} octets: {line[:30]!r}")
        try:
            text = line.decode("utf-8")
        except UnicodeDecodeError:
            faults.append(f"3.1: folded inside of a character: {line!r}")
            text = line.decode("utf-8", "replace")
        if text.startswith((" ", "\t")) and lines:
            lines[-1] += text[1:]
        else:
            lines.append(text)
    return lines, faults


def components(lines: list[str]) -> tuple[list[Component], list[str]]:
    """The calendars that content lines say, and the lines that are none or stand nowhere."""
    faults = []
    root = Component("")
    open_ones = [root]
    for line in lines:
        matched = _LINE.fullmatch(line)
        if matched is None:
            faults.append(f"3.1: no content line: {line!r}")
            continue
        found = Property(*matched.groups())
        inner = open_ones[-1]
        if found.name == "BEGIN":
            if found.value not in INSIDE.get(inner.name, ()):
                faults.append(f"3.6: {found.value} inside of {inner.name or 'nothing'}")
            inner.parts.append(Component(found.value))
            open_ones.append(inner.parts[-1])
        elif found.name == "END":
            if found.value != inner.name:
                faults.append(f"3.6: END:{found.value} inside of {inner.name}")
            open_ones.pop()
        else:
            inner.properties.append(found)
    if open_ones != [root] or root.properties:
        faults.append("3.4: something is not closed, or outside of the calendar")
    return root.parts, faults


def faults_of(calendar: bytes) -> list[str]:
    """What is wrong with a calendar, by the sections of the RFC."""
    lines, faults = unfolded(calendar)
    calendars, more = components(lines)
    faults += more
    if [one.name for one in calendars] != ["VCALENDAR"]:
        faults.append("3.4: not one calendar")
    for one in calendars:
        faults += _of_component(one)
        faults += _of_identities(one)
    return faults


def _of_component(one: Component) -> Iterator[str]:
    where = f"{one.name} {one.value('UID')}"
    counts = Counter(found.name for found in one.properties)
    once, required = ONCE.get(one.name, set()), REQUIRED.get(one.name, set())
    for name, count in counts.items():
        often = OFTEN if one.name in ("VEVENT", "VTODO") else set()
        if count > 1 and name in once:
            yield f"3.6: {where}: {name} stands {count} times"
        if name not in once | often and not name.startswith("X-"):
            yield f"3.6: {where}: {name} has no place here"
    yield from (f"3.6: {where}: lacks {name}" for name in required - set(counts))
    for found in one.properties:
        yield from (f"{fault}, in {where}: {found}" for fault in _of_property(found))
    if one.name in ("VEVENT", "VTODO"):
        yield from (f"{fault}, in {where}" for fault in _of_entry(one))
    for part in one.parts:
        yield from _of_component(part)


def _of_property(found: Property) -> Iterator[str]:
    if found.name in TEXTS and not _TEXT.fullmatch(found.value):
        yield "3.3.11: a text that is not escaped"
    if found.name in DAYS:
        if found.parameters not in ("", ";VALUE=DATE"):
            yield "3.2.20: neither dates nor local times"
        pattern = _DATE if found.parameters else _LOCAL
        if not all(_is_of(pattern, value) for value in found.value.split(",")):
            yield "3.3.4, 3.3.5: not what its type says"
    if found.name == "DTSTAMP" and not _UTC.fullmatch(found.value):
        yield "3.8.7.2: not in UTC"
    if found.name == "SEQUENCE" and not found.value.isdigit():
        yield "3.8.7.4: no number"
    if found.name == "ACTION" and found.value != "DISPLAY":
        yield "3.8.6.1: an alarm that is not shown"
    if found.name == "TRIGGER" and not _DURATION.fullmatch(found.value):
        yield "3.8.6.3: no length of time"
    if (found.name, found.value) in {("VERSION", "1.0"), ("CALSCALE", "JULIAN")}:
        yield "3.7: not of this kind"


def _is_of(pattern: re.Pattern[str], value: str) -> bool:
    """True for a day or a time that there is."""
    try:
        datetime.fromisoformat(value)
    except ValueError:
        return False
    return bool(pattern.fullmatch(value))


def _of_entry(one: Component) -> Iterator[str]:
    start = one.value("DTSTART")
    types = {found.parameters for found in one.properties if found.name in DAYS}
    if len(types) > 1 or (one.name == "VEVENT" and types != {";VALUE=DATE"}):
        yield "3.6.1, 3.8.2.3: times of two types, or an event that is not of whole days"
    for name in ("DTEND", "DUE"):
        if one.value(name) and start and one.value(name) <= start:
            yield f"3.8.2.2, 3.8.2.3: {name} is not later than DTSTART"
    repeats = bool(one.values("RRULE") or one.values("RDATE"))
    if repeats and not start:
        yield "3.8.2.4: it comes round, and has no DTSTART"
    if repeats and one.values("RECURRENCE-ID"):
        yield "3.8.4.4: one of a row that is itself a row"
    if repeats and start:
        unsound = [fault for rule in one.values("RRULE") for fault in _of_rule(rule, start)]
        yield from unsound or _of_dates(one, start)


def _of_rule(rule: str, start: str) -> Iterator[str]:
    parts = dict(part.split("=") for part in rule.split(";"))
    if len(parts) != rule.count(";") + 1:
        yield "3.3.10: a part of a rule stands twice"
    if {"UNTIL", "COUNT"} <= parts.keys():
        yield "3.3.10: both UNTIL and COUNT"
    if len(parts.get("UNTIL", start)) != len(start):
        yield "3.3.10: UNTIL is not of the type of DTSTART"
    if parts["FREQ"] == "WEEKLY" and "BYMONTHDAY" in parts:
        yield "3.3.10: BYMONTHDAY in a weekly rule"
    if parts["FREQ"] in ("DAILY", "WEEKLY") and re.search(r"\d", parts.get("BYDAY", "")):
        yield "3.3.10: numbered days in a rule that is neither monthly nor yearly"
    if parts["FREQ"] == "DAILY" and parts.keys() & {"BYHOUR", "BYMINUTE", "BYSECOND"}:
        yield "3.3.10: an hour in a rule of days"


def _of_dates(one: Component, start: str) -> Iterator[str]:
    """Each date left out is one that would come round: a reader may trip over others."""
    days, left_out = {start, *one.values("RDATE")}, one.values("EXDATE")
    for rule in one.values("RRULE"):
        moments = rrulestr(f"RRULE:{rule}", dtstart=datetime.fromisoformat(start))
        said = "%Y%m%d" if _DATE.fullmatch(start) else "%Y%m%dT%H%M%S"
        if f"{moments[0]:{said}}" != start:
            yield "3.8.5.3: DTSTART is not the first day of the rule"
        end = datetime.fromisoformat(max(left_out, default=start))
        days |= {f"{day:{said}}" for day in moments.between(moments[0], end, inc=True)}
    yield from (f"3.8.5.1: {day} is left out, and never comes" for day in set(left_out) - days)
    for name in ("EXDATE", "RDATE"):
        twice = [day for day, count in Counter(one.values(name)).items() if count > 1]
        yield from (f"3.8.5: {day} stands twice in {name}" for day in twice)


def _of_identities(calendar: Component) -> Iterator[str]:
    """A UID is one entry's, but for single days of its row (3.8.4.7, 3.8.4.4)."""
    counts = Counter((one.value("UID"), one.value("RECURRENCE-ID")) for one in calendar.parts)
    yield from (f"3.8.4.7: {one} stands {n} times" for one, n in counts.items() if n > 1)
    rows = {uid for uid, day in counts if not day}
    yield from (f"3.8.4.4: {one} has no row" for one in counts if one[1] and one[0] not in rows)

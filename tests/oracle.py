"""What a book means, worked out again from FORMAT.md: windows, and what the record says of them.

Dates come from dateutil's recurrence rules (RFC 5545); sections 9 to 12 are followed word by
word, without any thought of time. Of the product only what a line says is used.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import cached_property
from typing import NamedTuple

from books import Span, read
from dateutil.relativedelta import relativedelta
from dateutil.rrule import DAILY, MONTHLY, WEEKLY, rrule, weekdays

from ledger.text.tree import (
    AwayLine,
    Cadence,
    ChoreLine,
    Declared,
    Located,
    MonthDay,
    RecordLine,
    SectionHeader,
    Setting,
)


@dataclass(frozen=True)
class Calendar:
    """A household's week, and the day from which `every N` counts."""

    week_start: int
    weekend: tuple[int, ...]
    anchor: int


_UNITS = {"week": 7, "month": 31}


def _moment(ordinal: int) -> datetime:
    return datetime.combine(date.fromordinal(ordinal), datetime.min.time())


def _month_start(ordinal: int) -> datetime:
    return _moment(ordinal).replace(day=1)


def _week_start(ordinal: int, calendar: Calendar) -> datetime:
    moment = _moment(ordinal)
    return moment - timedelta((moment.weekday() - calendar.week_start) % 7)


def _month_last(first: int) -> int:
    moment = _moment(first)
    return (moment + timedelta(31)).replace(day=1).toordinal() - 1


def _monthly(item: MonthDay, start: datetime, count: int, months: tuple[int, ...] | None) -> rrule:
    """The monthly rule of one item of `on`."""
    if item.weekday is None:
        return rrule(MONTHLY, start, interval=count, bymonth=months, bymonthday=item.number)
    named = weekdays[item.weekday](item.number) if item.number else weekdays[item.weekday]
    return rrule(MONTHLY, start, interval=count, bymonth=months, byweekday=named)


def _first_days(rules: Sequence[rrule], low: int, high: int) -> list[int]:
    """The days of any of the rules, from low to high."""
    found = {
        moment.toordinal()
        for rule in rules
        for moment in rule.between(_moment(low), _moment(high), inc=True)
    }
    return sorted(found)


def _rules(cadence: Cadence, calendar: Calendar, low: int) -> Iterator[rrule]:
    """The cadence as rules whose days are the first days of its windows.

    A rhythm runs both ways from the day it counts from: a window of many days may have opened
    before the dates in force, and is cut to them.
    """
    count, anchor = cadence.every, calendar.anchor
    week = _week_start(low, calendar)
    month = _month_start(low)
    steps = max(0, anchor - low) // (count * _UNITS.get(cadence.kind, 1)) + 1
    match cadence.kind:
        case "day":
            yield rrule(DAILY, _moment(anchor - steps * count), interval=count)
        case "weekday":
            yield rrule(WEEKLY, week, byweekday=[d for d in range(7) if d not in calendar.weekend])
        case "weekend":
            yield rrule(WEEKLY, week, byweekday=calendar.weekend[0])
        case "numbered-weekend":
            first = weekdays[calendar.weekend[0]]
            yield rrule(MONTHLY, month, byweekday=[first(n) for n in cadence.weekends])
        case "named-day":
            yield rrule(WEEKLY, week, byweekday=cadence.days)
        case "week":
            yield rrule(
                WEEKLY,
                _week_start(anchor - 7 * steps * count, calendar),
                interval=count,
                wkst=calendar.week_start,
                byweekday=cadence.days or [calendar.week_start],
            )
        case "month" | "named-month":
            start = month
            if count > 1:
                start = _month_start(anchor) - relativedelta(months=steps * count)
            for item in cadence.on or (MonthDay(1, None),):
                yield _monthly(item, start, count, cadence.months or None)


def expected_spans(cadence: Cadence, calendar: Calendar, low: int, high: int) -> list[Span]:
    """The spans of a cadence that begin from low to high, nothing cut yet; `once` in any case."""
    if cadence.kind == "once":
        return [(cadence.first, cadence.last)]
    firsts = _first_days(list(_rules(cadence, calendar, low)), low, high)
    if cadence.on or cadence.days:
        return [(first, first) for first in firsts]
    match cadence.kind:
        case "weekend" | "numbered-weekend":
            return [(first, first + len(calendar.weekend) - 1) for first in firsts]
        case "week":
            return [(first, first + 6) for first in firsts]
        case "month" | "named-month":
            return [(first, _month_last(first)) for first in firsts]
        case _:
            return [(first, first) for first in firsts]


def in_season(first: int, season: tuple[int, int] | None) -> bool:
    """True for a day whose month is met on the way from the first month to the last."""
    if season is None:
        return True
    month, last = season
    named = {month}
    while month != last:
        month = month % 12 + 1
        named.add(month)
    return date.fromordinal(first).month in named


def kept(
    spans: Sequence[Span], season: tuple[int, int] | None, within: int | None, force: Span
) -> list[Span]:
    """The spans as a header keeps them: to a season, to a length, to the dates in force."""
    found = [span for span in spans if in_season(span[0], season)]
    if within is not None:
        found = [(first, first + within - 1) for first, _ in found]
    closed = [
        (first, min(last, following - 1))
        for (first, last), following in zip(
            found, [first for first, _ in found[1:]] + [date.max.toordinal() + 1], strict=False
        )
    ]
    low, high = force
    if low > high:
        return []
    return [(max(a, low), min(b, high)) for a, b in closed if b >= low and a <= high]


def settled(spans: Sequence[Span]) -> list[Span]:
    """Windows of several sections made one line of them, apart and in order.

    Sorted by first day and then by last; of those that open on one day the first stands, and
    each closes the day before the next opens.
    """
    shortest = dict(sorted(spans, reverse=True))
    opened = sorted(shortest)
    following = [*opened[1:], date.max.toordinal() + 1]
    return [(a, min(shortest[a], b - 1)) for a, b in zip(opened, following, strict=False)]


def at_home(span: Span, away: set[int]) -> Span | None:
    """A span without the days away at its ends, or None where all its days are."""
    days = [day for day in range(span[0], span[1] + 1) if day not in away]
    return (days[0], days[-1]) if days else None


# ------------------------------------------------------------------------ matching, section 11


@dataclass
class Slot:
    """A window as the rule sees it: the days it is to be done on, and the line that took it."""

    first: int
    last: int
    line: int | None = None


@dataclass
class Row:
    """Windows in order, and the lines that found none."""

    slots: list[Slot]
    extras: list[int] = field(default_factory=list)

    def wanted(self, day: int) -> Slot | None:
        """The window that a line of a day takes.

        One that holds the day, if nothing took it; else the nearer of its two neighbours that
        nothing took, the earlier at equal distance.
        """
        holding = [slot for slot in self.slots if slot.first <= day <= slot.last]
        if holding:
            return holding[0] if holding[0].line is None else None
        before = [slot for slot in self.slots if slot.last < day][-1:]
        after = [slot for slot in self.slots if slot.first > day][:1]
        near = [(day - slot.last, 0, slot) for slot in before]
        near += [(slot.first - day, 1, slot) for slot in after]
        free = [one for one in near if one[2].line is None]
        return min(free, key=lambda one: one[:2])[2] if free else None

    def take(self, day: int, to: int | None, line: int) -> None:
        """Settle the window that a line takes, or move it; a line that cannot is an extra."""
        slot = self.wanted(day)
        if slot is None:
            self.extras.append(line)
        elif to is None:
            slot.line = line
        elif all(to < other.first for other in self.slots if other.first > slot.last) and all(
            other.last < to for other in self.slots if other.last < slot.first
        ):
            slot.first = slot.last = to
        else:
            self.extras.append(line)


# ------------------------------------------------------------------ books, sections 9, 10 and 12


class PlainWindow(NamedTuple):
    """A window, days away taken off, with the minutes of its line."""

    first: int
    last: int
    excused: bool
    minutes: int


class Fate(NamedTuple):
    """What became of a window that is not excused, as seen on a day."""

    first: int
    last: int
    """Its days after any move."""
    opened: int
    """Its first day before any move."""
    kind: str
    """done, late, early, skipped, missed, owed, or open: to be done on the day or later."""
    line: int | None
    """Place in the record, by date, of the line that settled it."""
    counted: int
    """The day it was settled on; else its last."""
    minutes: int


CHANGE = 400
"""Days that a window, and what closes it, may reach beyond the day it opens on; `once` aside."""
HORIZONS = (100, 1_500, 15_000)
"""How many days ahead one looks for the next windows: a 29th of February is far."""


class PlainBook:
    """A sound book, read without any of what the product knows of households."""

    def __init__(self, text: str, today: int) -> None:
        nodes = [line.node for line in read(text).all_lines() if line.node is not None]
        self.settings = {one.keyword: one.value for one in nodes if isinstance(one, Setting)}
        self.people = [
            one.name.value for one in nodes if isinstance(one, Declared) and one.keyword == "person"
        ]
        self.aways = [one for one in nodes if isinstance(one, AwayLine)]
        said = [one for one in nodes if isinstance(one, RecordLine)]
        self.record = sorted(said, key=lambda one: one.date.value)
        self.lines: dict[str, list[tuple[SectionHeader, ChoreLine]]] = {}
        for node in nodes:
            if isinstance(node, SectionHeader):
                header = node
            elif isinstance(node, ChoreLine):
                self.lines.setdefault(node.name.value, []).append((header, node))
        since = self._setting("since")
        self.start = since[0] if since else self.record[0].date.value if self.record else today

    def _setting(self, keyword: str) -> list[int]:
        value = self.settings.get(keyword, ())
        parts = (value,) if isinstance(value, Located) else value
        return [part.value for part in parts if isinstance(part.value, int)]

    @cached_property
    def weekend(self) -> tuple[int, ...]:
        """The days of the weekend in a row."""
        days = set(self._setting("weekend is")) or {5, 6}
        (first,) = (day for day in days if (day - 1) % 7 not in days)
        return tuple((first + n) % 7 for n in range(len(days)))

    def on_calendar(self) -> list[str]:
        """The chores none of whose lines hang on when they were done."""
        return [
            name
            for name, lines in self.lines.items()
            if all(header.cadence.value.kind != "after-done" for header, _ in lines)
        ]

    def rows(self, chore: str) -> list[str | None]:
        """Whose windows a chore has: those of each person, or one row of all."""
        forms = {line.assignment.form for _, line in self.lines[chore] if line.assignment}
        return list(self.people) if "each" in forms and self.people else [None]

    def windows(self, chore: str, person: str | None, until: int) -> list[PlainWindow]:
        """All windows of a row that open by a day, in order."""
        raw: list[tuple[int, int, int]] = []
        for header, line in self.lines[chore]:
            if not header.paused and not line.paused:
                minutes = line.minutes.value if line.minutes else 0
                raw += [(*span, minutes) for span in self._falling(header, line, until + CHANGE)]
        spans = settled([(first, last) for first, last, _ in raw])
        # Of two that begin on one day the one that ends first stays; if they end alike, the first.
        minutes_of: dict[int, int] = {}
        for first, _, minutes in sorted(raw, key=lambda one: one[1]):
            minutes_of.setdefault(first, minutes)
        away = self._away(person)
        return [
            PlainWindow(*(home or span), home is None, minutes_of[span[0]])
            for span, home in ((span, at_home(span, away)) for span in spans)
            if (home or span)[0] <= until
        ]

    def _falling(self, header: SectionHeader, line: ChoreLine, high: int) -> list[Span]:
        firsts = [self.start, *(one.value for one in (header.first, line.first) if one)]
        lasts = [date.max.toordinal(), *(one.value for one in (header.last, line.last) if one)]
        force = max(firsts), min(lasts)
        anchor = header.first.value if header.first else force[0]
        spans = expected_spans(
            header.cadence.value,
            Calendar(next(iter(self._setting("week starts")), 0), self.weekend, anchor),
            force[0] - CHANGE,
            min(high, force[1]),
        )
        season = header.during.value if header.during else None
        return kept(spans, season, header.within.value if header.within else None, force)

    def _away(self, person: str | None) -> set[int]:
        return {
            day
            for one in self.aways
            if not one.people or person in [name.value for name in one.people]
            for day in range(one.first.value, one.last.value + 1)
        }

    def around(self, chore: str, person: str | None, day: int) -> list[PlainWindow]:
        """All windows of a row up to a day, and three or more after it that are not excused, if
        there are so many."""
        for days in HORIZONS:
            found = self.windows(chore, person, day + days)
            if sum(one.first > day and not one.excused for one in found) >= 3:
                break
        return found

    def matched(
        self, chore: str, person: str | None, on: int, until: int = 0
    ) -> tuple[list[Fate], list[int]]:
        """What became of each window of a row by a day, of those up to a later day too, and the
        lines that found none."""
        windows = self.around(chore, person, max(on, until))
        asked = [one for one in windows if not one.excused]
        row = Row([Slot(one.first, one.last) for one in asked])
        for number, said in enumerate(self.record):
            people = [name.value for name in said.entry.people]
            mine = person is None or not people or person in people
            names = {item.name.value for item in said.entry.items}
            if chore in names and mine and said.date.value <= on:
                row.take(said.date.value, said.entry.to and said.entry.to.value, number)
        excused = [one.first for one in windows if one.excused and one.first <= on]
        opened = [slot.first for slot in row.slots if slot.first <= on]
        # Only what opened last is owed: of two that open on one day, the one nobody is there for.
        owed = max(opened, default=0)
        fates = [
            self._fate(window, slot, on, slot.first == owed > max(excused, default=0))
            for window, slot in zip(asked, row.slots, strict=True)
        ]
        return fates, row.extras

    def _fate(self, window: PlainWindow, slot: Slot, on: int, is_latest: bool) -> Fate:
        if slot.line is None:
            kind = "open" if slot.last >= on else "owed" if is_latest else "missed"
            counted = slot.last
        else:
            said = self.record[slot.line]
            counted, kind = said.date.value, "skipped"
            if said.entry.verb == "did":
                kind = "late" if counted > slot.last else "done"
                kind = "early" if counted < slot.first else kind
        return Fate(slot.first, slot.last, window.first, kind, slot.line, counted, window.minutes)

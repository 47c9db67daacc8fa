"""A home as its book says it, for the simulator: who, which lines, and what each day is.

Of the product only `ledger.text` is used: what a line says. What it means is worked out again,
from the rules of the format.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date
from functools import cached_property
from typing import NamedTuple

from simulated_cadences import Week, cadence_spans

from ledger.text.clauses import ChoreLine, NamedDays, SectionHeader
from ledger.text.parts import Cadence, DayItem, DayItems, Located, Names, Spans
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import AbsentLine, Declared, LimitLine, Node, Setting

LAST_DAY = date.max.toordinal()
CHUNK = 512
"""Days that are looked up at a time, of named days with a cadence."""

_RECORD = re.compile(r"\d{4}-\d\d-\d\d ")
_READER = Reader()


class PlainLine(NamedTuple):
    """A line of a chore with what its header says."""

    place: int
    cadence: Cadence
    within: int | None
    counts_from: int
    """The day from which `every N` counts."""
    first: int
    last: int
    during: tuple[tuple[DayItem, ...], ...]
    excepted: tuple[tuple[DayItem, ...], ...]
    form: str
    people: tuple[str, ...]
    vital: bool
    expires: bool
    spare: bool
    paused: bool
    minutes: int


class Absence(NamedTuple):
    """Days away or of rest, of some people or of the whole household."""

    spans: Spans
    people: tuple[str, ...]


def nodes_of(text: str) -> Iterator[Node]:
    """What the lines of a text say, those that can be read."""
    for line in _READER.read(Source("home.chores", text)).all_lines():
        if line.node is not None:
            yield line.node


def parted(text: str) -> tuple[str, str]:
    """The routine and the record of a text, each with its lines in order."""
    lines = text.splitlines()
    return (
        "\n".join(line for line in lines if not _RECORD.match(line)),
        "\n".join(line for line in lines if _RECORD.match(line)),
    )


class Home:
    """Who lives there, which lines the routine has, and what each day is."""

    def __init__(self, routine: str, start: int) -> None:
        nodes = list(nodes_of(routine))
        self.settings = {one.keyword: one.value for one in nodes if isinstance(one, Setting)}
        self.start = next(iter(self.setting("since")), start)
        declared = [one for one in nodes if isinstance(one, Declared)]
        self.people = [one.name.value for one in declared if one.keyword == "person"]
        self.named: dict[str, list[NamedDays]] = {}
        for one in nodes:
            if isinstance(one, NamedDays) and self._is_usable(one):
                self.named.setdefault(one.name.value, []).append(one)
        self.limit_lines = [one for one in nodes if isinstance(one, LimitLine)]
        absences = [one for one in nodes if isinstance(one, AbsentLine)]
        self.aways = list(self._absences(absences, "away"))
        self.rests = list(self._absences(absences, "rest"))
        self.lines = self._lines_of(nodes)
        self._chunks: dict[tuple[NamedDays, int], set[int]] = {}
        self._force: dict[tuple[int, int], bool] = {}
        self._there: dict[tuple[int, str | None, int], bool] = {}

    def setting(self, keyword: str) -> list[int]:
        """The numbers of a declaration that stands once."""
        value = self.settings.get(keyword, ())
        parts = (value,) if isinstance(value, Located) else value
        return [part.value for part in parts if isinstance(part.value, int)]

    @cached_property
    def week(self) -> Week:
        """How weeks begin, and the days of the weekend in a row."""
        days = set(self.setting("weekend is")) or {5, 6}
        (first,) = (day for day in days if (day - 1) % 7 not in days)
        weekend = tuple((first + n) % 7 for n in range(len(days)))
        return Week(next(iter(self.setting("week starts")), 0), weekend)

    # ------------------------------------------------------------------ reading

    def _is_usable(self, one: NamedDays) -> bool:
        lacks_from = one.cadence and one.cadence.value.needs_from and one.first is None
        return one.name.value not in self.people and not lacks_from

    def _known(self, names: Names) -> tuple[str, ...]:
        return tuple(dict.fromkeys(name.value for name in names if name.value in self.people))

    def _absences(self, nodes: Iterable[AbsentLine], keyword: str) -> Iterator[Absence]:
        """Those that can be used: not left without any person or any days that it named."""
        for one in nodes:
            people = self._known(one.people)
            names = tuple(name for name in one.spans.names if name.value in self.named)
            usable = (people or not one.people) and (names or one.spans.dates)
            if one.keyword == keyword and usable:
                yield Absence(one.spans._replace(names=names), people)

    def _items(self, *lists: DayItems) -> tuple[tuple[DayItem, ...], ...]:
        """The lists of days of header and chore, those that are left with an item."""
        found = (
            tuple(
                item.value
                for item in items
                if item.value.kind != "named" or item.value.name in self.named
            )
            for items in lists
        )
        return tuple(items for items in found if items)

    def _lines_of(self, nodes: Iterable[Node]) -> dict[str, list[PlainLine]]:
        found: dict[str, list[PlainLine]] = {}
        header: SectionHeader | None = None
        for place, node in enumerate(nodes):
            if isinstance(node, SectionHeader):
                header = node
            elif isinstance(node, ChoreLine) and header is not None:
                lines = found.setdefault(node.name.value, [])
                line = self._line(place, header, node)
                # A chore of `after done` has that line alone.
                kinds = {one.cadence.kind for one in (*lines, line)}
                if not lines or "after-done" not in kinds:
                    lines.append(line)
        return found

    def _line(self, place: int, header: SectionHeader, chore: ChoreLine) -> PlainLine:
        firsts = [self.start, *(one.value for one in (header.first, chore.first) if one)]
        lasts = [LAST_DAY, *(one.value for one in (header.last, chore.last) if one)]
        people = self._known(chore.assignment.people) if chore.assignment else ()
        form = chore.assignment.form if chore.assignment else "any"
        if chore.assignment and chore.assignment.people and not people:
            form = "any"
        lacks_from = header.cadence.value.needs_from and header.first is None
        return PlainLine(
            place,
            header.cadence.value,
            header.within.value if header.within else None,
            header.first.value if header.first else max(firsts),
            max(firsts),
            min(lasts),
            self._items(header.during, chore.during),
            self._items(header.excepted, chore.excepted),
            form,
            people,
            chore.vital or (header.vital and not chore.spare),
            chore.expires or header.expires,
            chore.spare or (header.spare and not chore.vital),
            chore.paused or header.paused or lacks_from,
            chore.minutes.value if chore.minutes else 0,
        )

    # ------------------------------------------------------------------ days

    def is_named(self, name: str, day: int) -> bool:
        """True if any of the lines of named days holds a day."""
        return any(self._holds(one, day) for one in self.named[name])

    def _holds(self, one: NamedDays, day: int) -> bool:
        if one.spans is not None:
            return _in_dates(one.spans, day)
        chunk = day // CHUNK
        if (one, chunk) not in self._chunks:
            self._chunks[one, chunk] = self._days_of(one, chunk * CHUNK, (chunk + 1) * CHUNK)
        return day in self._chunks[one, chunk]

    def _days_of(self, one: NamedDays, low: int, high: int) -> set[int]:
        """The days of a cadence that has a name, near some days."""
        if one.cadence is None:
            return set()
        first = one.first.value if one.first else low
        last = one.last.value if one.last else LAST_DAY
        within = one.within.value if one.within else None
        spans = cadence_spans(one.cadence.value, self.week, first, low, high, within)
        days = {day for span in spans for day in range(span.first, span.last + 1)}
        return {day for day in days if (first if one.first else day) <= day <= last}

    def holds(self, items: Iterable[DayItem], day: int) -> bool:
        """True if one of the items of a list behind `during` or `except` holds a day."""
        return any(self._item_holds(item, day) for item in items)

    def _item_holds(self, item: DayItem, day: int) -> bool:
        when = date.fromordinal(day)
        match item.kind:
            case "months":
                # Met on the way from the first month to the last.
                return (when.month - item.first) % 12 <= (item.last - item.first) % 12
            case "day":
                return when.weekday() == item.first
            case "weekday":
                return when.weekday() not in self.week.weekend
            case "weekend":
                return when.weekday() in self.week.weekend
            case "named":
                return self.is_named(item.name, day)

    def in_force(self, line: PlainLine, day: int) -> bool:
        """True on a day on which a line counts."""
        if line.paused or not line.first <= day <= line.last:
            return False
        key = line.place, day
        if key not in self._force:
            during = all(self.holds(items, day) for items in line.during)
            self._force[key] = during and not any(self.holds(items, day) for items in line.excepted)
        return self._force[key]

    # ------------------------------------------------------------------ people

    def _among(self, absences: Iterable[Absence], person: str | None, day: int) -> bool:
        return any(
            (not one.people or person in one.people) and self._is_absent(one.spans, day)
            for one in absences
        )

    def _is_absent(self, spans: Spans, day: int) -> bool:
        named = any(self.is_named(name.value, day) for name in spans.names)
        return named or _in_dates(spans, day)

    def is_away(self, person: str | None, day: int) -> bool:
        """True if a person is away; for None, if the whole household is."""
        return self._among(self.aways, person, day)

    def is_resting(self, person: str | None, day: int) -> bool:
        """True if a person rests; for None, if the whole household does."""
        return self._among(self.rests, person, day)

    def is_there(self, person: str | None, day: int, vital: bool = False) -> bool:
        """True if a person is neither away nor, but for what is vital, resting."""
        return not self.is_away(person, day) and (vital or not self.is_resting(person, day))

    def someone_there(self, line: PlainLine, person: str | None, day: int) -> bool:
        """True if who can do a line is there; `person` is whose own windows they are."""
        key = line.place, person, day
        if key not in self._there:
            people: list[str | None] = [person]
            if person is None:
                people = [*(line.people or self.people)] or [None]
            there = [self.is_there(one, day, line.vital) for one in people]
            self._there[key] = not self.is_away(None, day) and (
                all(there) if line.form == "together" else any(there)
            )
        return self._there[key]

    def is_asked(self, line: PlainLine, person: str | None, day: int) -> bool:
        """True on a day on which a line is in force and someone who can do it is there."""
        return self.in_force(line, day) and self.someone_there(line, person, day)

    def rows(self, chore: str) -> list[str | None]:
        """Whose windows a chore has: those of each person, as named or declared, or one row of
        all."""
        lines = [line for line in self.lines[chore] if line.form == "each"]
        own = (person for line in lines for person in line.people or self.people)
        return list(dict.fromkeys(own)) or [None]

    def lines_of(self, chore: str, person: str | None) -> list[PlainLine]:
        """The lines of a chore that speak of a person."""
        return [
            line
            for line in self.lines[chore]
            if person is None or line.form != "each" or person in (line.people or self.people)
        ]


def _in_dates(spans: Spans, day: int) -> bool:
    return any(
        first.value <= day <= (last.value if last else LAST_DAY) for first, last in spans.dates
    )

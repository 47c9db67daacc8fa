"""Calendars of books as someone sees them, and what is to be seen by the simulator."""

from __future__ import annotations

import random
import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import UTC, date, datetime
from typing import NamedTuple

from calendar_readers import Occurrence
from calendar_windows import Shown, chore_titles, containers, shown
from product_answers import household_of
from random_homes import random_home, scribble

from ledger.render.as_icalendar import Form, to_icalendar
from ledger.report.calendar import calendar_of
from ledger.report.scope import Scope

MADE = datetime(2026, 1, 1, 9, tzinfo=UTC)
ALWAYS = date(1970, 1, 1), date(2100, 1, 1)
"""Days that hold all of a calendar."""
AREAS = ("kitchen", "hall")


Named = tuple[tuple[str, tuple[str, ...]], ...]


class Way(NamedTuple):
    """A way to make a calendar."""

    by_chore: bool = False
    todo: bool = False
    person: str | None = None
    area: str | None = None


WAYS = [Way(by_chore, todo) for by_chore in (False, True) for todo in (False, True)]


class Seen(NamedTuple):
    """What someone sees of a calendar on some days."""

    container: str
    first: date
    last: date
    chores: Named
    """Each chore that is named, by its title, and the people who are named with it."""


class View(NamedTuple):
    """A calendar to be made of a book on a day."""

    text: str
    on: int
    way: Way

    def file(self, made: datetime = MADE) -> bytes:
        """The calendar of two years, as it is made at some time."""
        scope = Scope(self.way.person, self.way.area)
        household = household_of(self.text, self.on)
        calendar = calendar_of(household, self.on, 2, scope, by_chore=self.way.by_chore)
        return to_icalendar(calendar, Form(made, self.way.todo))

    def expected(self) -> list[Seen]:
        """What is to be seen of it, by the simulator."""
        found: dict[object, list[Shown]] = defaultdict(list)
        areas = dict(re.findall(r"^    (\S+) in (\S+)", self.text, re.MULTILINE))
        for one in shown(self.text, self.on, last_day(self.on), self.way.person):
            if self.way.area is None or self.way.area == areas[one.chore]:
                alone = one.chore if one.is_alone else None
                times = (one.chore, one.first, one.last) if self.way.by_chore else (one.day, alone)
                found[one.container, times].append(one)
        titles = chore_titles(self.text)
        return sorted(_together(windows, self.way, titles) for windows in found.values())

    def seen(self, occurrences: Iterable[Occurrence]) -> list[Seen]:
        """What a reader shows of it."""
        reading = _Reading(
            tuple(containers(self.text).values()),
            tuple(chore_titles(self.text).values()),
            tuple(people_of(self.text)),
            self.way.by_chore,
        )
        return sorted(
            Seen(container, one.first, one.last, chores)
            for one in occurrences
            for container, chores in [reading.of(one.summary, one.description)]
        )


def last_day(on: int) -> int:
    """The last day of two years."""
    day = date.fromordinal(on)
    leaps = (day.month, day.day) == (2, 29)
    return date(day.year + 2, day.month, day.day - leaps).toordinal() - (not leaps)


def people_of(text: str) -> list[str]:
    """The names of those that a book declares."""
    return re.findall(r"^person (\S+)", text, re.MULTILINE)


def _together(windows: list[Shown], way: Way, titles: Mapping[str, str]) -> Seen:
    """One entry of windows that come out together."""
    people: dict[str, set[str]] = defaultdict(set)
    for one in windows:
        people[titles[one.chore]] |= one.people
    first = windows[0].first if way.by_chore else windows[0].day
    last = max(one.last for one in windows) if way.by_chore or way.todo else first
    chores = sorted((title, tuple(sorted(who))) for title, who in people.items())
    begin, end = date.fromordinal(first), date.fromordinal(last)
    return Seen(windows[0].container, begin, end, tuple(chores))


class _Reading:
    """The words of entries, as a person reads them who knows the book."""

    def __init__(
        self,
        containers: Collection[str],
        titles: Collection[str],
        people: Collection[str],
        by_chore: bool,
    ) -> None:
        self._containers, self._titles, self._people = containers, titles, people
        self._tells = self._of_chore if by_chore else self._of_container
        self._known: dict[tuple[str, str], tuple[str, Named]] = {}

    def of(self, summary: str, description: str) -> tuple[str, Named]:
        """The container and the chores of an entry."""
        key = summary, description
        if key not in self._known:
            self._known[key] = self._tells(summary, description)
        return self._known[key]

    def _of_container(self, summary: str, description: str) -> tuple[str, Named]:
        chores: dict[str, set[str]] = defaultdict(set)
        for line in description.splitlines():
            title, _, facts = line.partition(": ")
            if title in self._titles:
                chores[title] |= self._named(facts)
        found = sorted((title, tuple(sorted(who))) for title, who in chores.items())
        return _called(summary, self._containers), tuple(found)

    def _of_chore(self, summary: str, description: str) -> tuple[str, Named]:
        facts, container = re.split("^Container: ", description, flags=re.MULTILINE)
        who = tuple(sorted(self._named(facts)))
        return container.splitlines()[0], ((_called(summary, self._titles), who),)

    def _named(self, facts: str) -> set[str]:
        return {name for name in self._people if re.search(rf"\b{name}\b", facts)}


def _called(summary: str, names: Iterable[str]) -> str:
    """The longest of the names with which a summary begins."""
    found = [name for name in names if re.match(re.escape(name) + "([,:] |$)", summary)]
    return max(found, key=len)


# ------------------------------------------------------------------------ random homes


def random_view(seed: int, way: Way | None = None) -> View:
    """The view of a seed: a home whose containers have titles of their own and whose chores have
    areas, with a record of any lines, in a way to see it that is the seed's too."""
    chance = random.Random(seed)
    home = random_home(seed)
    lines = (*(f"area {name}" for name in AREAS), *_furnished(home.routine, chance))
    text = home._replace(routine=lines).text(scribble(home, seed))
    person = chance.choice([None, *people_of(text)])
    drawn = Way(chance.random() < 0.5, chance.random() < 0.5, person, chance.choice((None, *AREAS)))
    return View(text, home.first + chance.randint(0, 40), way or drawn)


def _furnished(lines: Iterable[str], chance: random.Random) -> Iterator[str]:
    places: dict[str, str] = {}
    others = ("since", "week starts", "weekend is", "person", "days", "away", "rest")
    for number, line in enumerate(lines):
        if line.startswith(" "):
            place = places.setdefault(line.split()[0], chance.choice(AREAS))
            yield f"    {line.split()[0]} in {place} {' '.join(line.split()[1:])}"
        else:
            yield line if line.startswith(others) else f'{line} "tin {number}"'

"""The first book of a home, made from the catalogue of chores.

The catalogue is a book too, and says itself what belongs to which home: a container in force is of
every home, a paused one of the homes that have its area. Two people stand in it for those who live
there, and one area for rooms that it does not know.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import NamedTuple

from ledger.calendar.occurrences import period_days
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.lint.rules import overloaded_day, overloaded_person, unstated_hazard
from ledger.text.clauses import ChoreLine, SectionHeader, Turn
from ledger.text.finding import Finding
from ledger.text.formatter import formatted
from ledger.text.parts import Located, Name
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import Declared, LimitLine, Node, Setting, Step, Tree
from ledger.text.writer import write_line
from ledger.workspace import SUFFIX, load_source, read_sources

FILE = f"home{SUFFIX}"
TITLE = "Our home"
CATALOGUE = Path(__file__).with_name(f"catalogue{SUFFIX}")
GROWN_UP, CHILD = "grown-up", "child"
"""The people of the catalogue."""
ROOM = "room"
"""The area of the catalogue that stands for each room it does not know."""
HEAD = """\
# A section is a container, and the lines below it are its chores.
# What is `paused` waits: take that word out of its header to begin it.
"""
NAMED_SO = "# allow unstated-hazard: the room is called so"
_TOO_MUCH = (overloaded_day.RULE.name, overloaded_person.RULE.name)


class Person(NamedTuple):
    """Someone who lives there."""

    name: str
    minutes: int | None = None
    """The minutes of a day that are fair to ask of a child; None for a grown-up."""


class Wishes(NamedTuple):
    """What a first book is made for."""

    people: tuple[Person, ...]
    """At least one of them is grown up."""
    areas: tuple[str, ...]
    """Those of the catalogue, and others."""
    weekday: int
    """Minutes that a day of the week holds."""
    weekend: int
    """Minutes that a day of the weekend holds."""


class Entry(NamedTuple):
    """A chore with the comments above it and its steps."""

    above: tuple[str, ...]
    chore: ChoreLine
    comment: Name | None
    steps: tuple[Step, ...]

    @property
    def name(self) -> str:
        """What the chore is called."""
        return self.chore.name.value

    @property
    def minutes(self) -> int:
        """The minutes of all who each do it."""
        chore = self.chore
        each = chore.assignment is not None and chore.assignment.form == "each"
        times = len(chore.assignment.people) if chore.assignment and each else 1
        return chore.minutes.value * times if chore.minutes else 0


class Container(NamedTuple):
    """A container of the catalogue."""

    header: SectionHeader
    comment: Name | None
    entries: tuple[Entry, ...]

    @property
    def title(self) -> str:
        """What the container is called; every one of the catalogue has a title."""
        assert self.header.title is not None
        return self.header.title.value

    @property
    def minutes(self) -> int:
        """The minutes of all of it, once."""
        return sum(entry.minutes for entry in self.entries)


class FirstBook(NamedTuple):
    """A book that has no finding."""

    text: str
    begun: str
    """The title of the container in force."""
    left: tuple[str, ...]
    """The chores of it that are paused, since they do not fit the days."""
    waiting: int
    """How many containers are paused."""


class Unfit(Exception):
    """A container with which a book cannot begin; the message says why."""


class Catalogue:
    """The chores that a first book is chosen from."""

    def __init__(self) -> None:
        tree = Reader().read(load_source(CATALOGUE))
        self.containers = tuple(_containers(tree))
        self.areas = {
            line.node.name.value: line.node
            for line in tree.lines
            if isinstance(line.node, Declared) and line.node.keyword == "area"
        }

    def usual_areas(self, has_children: bool) -> tuple[str, ...]:
        """The areas of every home, in the order of the catalogue."""
        entries = [(one, entry) for one in self.containers for entry in one.entries]
        usual = {_area(entry) for one, entry in entries if not one.header.paused}
        if not has_children:
            usual -= {_area(entry) for _, entry in entries if _is_for(entry, CHILD)}
        return tuple(area for area in self.areas if area in usual)

    def other_areas(self, usual: Sequence[str]) -> tuple[str, ...]:
        """The areas of some homes only."""
        return tuple(area for area in self.areas if area not in usual and area != ROOM)

    def offered(self, wishes: Wishes) -> list[Container]:
        """The containers of a home with what it needs of them: those that come round most often
        first, and of these the one with the fewest minutes."""
        chosen = [
            one._replace(entries=tuple(_chosen(self.areas, one.entries, wishes)))
            for one in self.containers
        ]
        return sorted(
            (one for one in chosen if one.entries),
            key=lambda one: (period_days(one.header.cadence.value), one.minutes),
        )

    def smallest(self, wishes: Wishes, today: date) -> FirstBook:
        """The book that begins with the smallest container of those that come round most often.
        Raises Unfit if no container can begin."""
        could_begin = self.offered(wishes) if wishes.weekday or wishes.weekend else []
        for container in could_begin:
            try:
                return self.first_book(wishes, container.title, today)
            except Unfit:
                continue
        raise Unfit("no chore of these rooms fits the days; give them more minutes")

    def first_book(self, wishes: Wishes, begin: str, today: date) -> FirstBook:
        """The book with one container in force, and the others of the home paused.

        What does not fit the days is paused too, the longest chore first. Raises Unfit where
        nothing is left, or where the book would have a finding for another reason.
        """
        offered = self.offered(wishes)
        begun = next(one for one in offered if one.title == begin)
        waiting = [one for one in self.containers if one.title != begin]
        by_title = {one.title: one for one in offered}
        waiting = [by_title[one.title] for one in waiting if one.title in by_title]
        left: list[str] = []
        allowed: set[str] = set()
        while len(left) < len(begun.entries):
            lines = [
                *self._declared(wishes, today),
                *_lines_of(begun, left, allowed, is_begun=True),
                *(line for one in waiting for line in _lines_of(one, (), allowed, is_begun=False)),
            ]
            text = _shaped("\n".join([HEAD, *lines, ""]))
            findings = _findings(text, today)
            if not findings:
                return FirstBook(text, begin, tuple(left), len(waiting))
            named_so = {name for one in findings if (name := _named_so(one))}
            if named_so - allowed:
                allowed |= named_so
            else:
                left.append(_longest(begun, left, findings))
        raise Unfit(f'nothing of "{begin}" fits the days; give them more minutes')

    def _declared(self, wishes: Wishes, today: date) -> Iterator[str]:
        """The lines before the first container."""
        titles = {name: declared.title for name, declared in self.areas.items()}
        limits = [("weekday", wishes.weekday), ("weekend", wishes.weekend)]
        limits += [(one.name, one.minutes) for one in wishes.people if one.minutes is not None]
        groups: tuple[list[Node], ...] = (
            [
                Setting("household", _located(TITLE)),
                Setting("since", Located(today.toordinal(), 0, 0)),
            ],
            [Declared("person", _located(person.name), None) for person in wishes.people],
            [Declared("area", _located(area), titles.get(area)) for area in wishes.areas],
            [LimitLine(_located(who), None, Located(held, 0, 0)) for who, held in limits],
        )
        for group in groups:
            yield from map(write_line, group)
            yield ""


def _containers(tree: Tree) -> Iterator[Container]:
    """The containers of a book, each with its chores; comments at the margin are left out."""
    header: SectionHeader | None = None
    comment: Name | None = None
    entries: list[Entry] = []
    above: list[str] = []
    for line in tree.lines:
        node = line.node
        if isinstance(node, SectionHeader):
            if header is not None:
                yield Container(header, comment, tuple(entries))
            header, comment, entries = node, line.comment, []
        elif isinstance(node, ChoreLine):
            entries.append(Entry(tuple(above), node, line.comment, ()))
        elif isinstance(node, Step):
            entries[-1] = entries[-1]._replace(steps=(*entries[-1].steps, node))
        is_above = line.is_comment and line.comment is not None and line.comment.start > 0
        above = [*above, line.comment.value] if is_above and line.comment else []
    if header is not None:
        yield Container(header, comment, tuple(entries))


def _chosen(
    areas: dict[str, Declared], entries: Sequence[Entry], wishes: Wishes
) -> Iterator[Entry]:
    """The chores that a home needs of some, each given to those of the home who may do it."""
    for entry in entries:
        rooms = [area for area in wishes.areas if area == _area(entry)]
        if _area(entry) == ROOM:
            rooms = [area for area in wishes.areas if area == ROOM or area not in areas]
        turn = _given_to(entry, wishes.people)
        if turn is not None and not turn.people:
            continue
        for room in rooms:
            name = entry.name if room == _area(entry) else entry.name.removesuffix(ROOM) + room
            chore = entry.chore._replace(
                name=_located(name), areas=(_located(room),), assignment=turn
            )
            yield entry._replace(chore=chore)


def _given_to(entry: Entry, people: Sequence[Person]) -> Turn | None:
    """Who of a home does a chore; None for anyone. What is for a child, each child does."""
    children = [_located(person.name) for person in people if person.minutes is not None]
    if _is_for(entry, CHILD):
        return Turn("each" if len(children) > 1 else "any", tuple(children))
    if _is_for(entry, GROWN_UP) and children:
        grown_up = [_located(person.name) for person in people if person.minutes is None]
        return Turn("any", tuple(grown_up))
    return None


def _is_for(entry: Entry, person: str) -> bool:
    turn = entry.chore.assignment
    return turn is not None and turn.people == (_located(person),)


def _area(entry: Entry) -> str:
    return entry.chore.areas[0].value


def _lines_of(
    container: Container, left: Sequence[str], allowed: set[str], is_begun: bool
) -> Iterator[str]:
    """The lines of a container; `left` are those of its chores that are paused."""
    yield write_line(container.header._replace(paused=not is_begun), container.comment)
    for entry in container.entries:
        yield from (f"    {comment}" for comment in entry.above)
        comment = _located(NAMED_SO) if entry.name in allowed else entry.comment
        yield write_line(entry.chore._replace(paused=entry.name in left), comment)
        yield from map(write_line, entry.steps)


def _shaped(text: str) -> str:
    return formatted(Reader().read(Source(FILE, text)))


def _findings(text: str, today: date) -> list[Finding]:
    workspace = read_sources([Source(FILE, text)]).on(today.toordinal())
    return lint(LintedBook(workspace.trees, workspace.household), workspace.findings)


def _named_so(finding: Finding) -> str | None:
    """The chore of a room whose name is that of a thing that can hurt."""
    if finding.rule != unstated_hazard.RULE.name:
        return None
    return finding.place.source.lines[finding.place.line].split()[0]


def _longest(begun: Container, left: Sequence[str], findings: Sequence[Finding]) -> str:
    """The longest chore of those too many for a day. Raises Unfit for other findings."""
    others = [one for one in findings if one.rule not in _TOO_MUCH]
    if others:
        raise Unfit(f'a book cannot begin with "{begun.title}": {others[0].message}')
    entries = [entry for entry in begun.entries if entry.name not in left]
    if all(one.rule == overloaded_person.RULE.name for one in findings):
        entries = [entry for entry in entries if entry.chore.assignment] or entries
    return max(entries, key=lambda entry: entry.minutes).name


def _located(text: str) -> Name:
    return Located(text, 0, 0)

"""Sections and chores: which container a chore is kept in, and which of its lines are in force."""

from __future__ import annotations

from bisect import bisect_right, insort
from dataclasses import replace
from functools import lru_cache
from math import inf
from typing import Any

from ledger.household.cadence import never_falls
from ledger.household.model import ANYONE, Assignment, Chore, Routine, Section
from ledger.household.names import Declarations, Stranger, near_to, repeated_line, title_of
from ledger.text.cadences import write_cadence
from ledger.text.finding import (
    IMPOSSIBLE_DATE,
    MISSING_FROM,
    UNREADABLE_LINE,
    Finding,
)
from ledger.text.source import Place, Source
from ledger.text.tree import (
    CLAUSES,
    Cadence,
    ChoreLine,
    Clause,
    Line,
    MonthDay,
    Name,
    Tree,
    Turn,
    plain,
)
from ledger.text.tree import Section as SectionLine
from ledger.text.values import LAST


class RoutineReader:
    """Reads the sections of trees in turn; a chore belongs to the section above it."""

    def __init__(self, declared: Declarations, findings: list[Finding]) -> None:
        self._declared = declared
        self._findings = findings
        self._sections: list[Section] = []
        self._lines: dict[str, list[tuple[Routine, Name | None]]] = {}
        self._in_force: dict[tuple[str, Section, bool], _Spans] = {}
        self._references: list[tuple[Name, Place]] = []

    def read(self, tree: Tree) -> None:
        """Take in one file; no section reaches from one file into the next."""
        section: Section | None = None
        # Chores below a header that cannot be read belong to no section that is known.
        headless = False
        for line in tree.lines:
            text = tree.source.lines[line.number]
            if isinstance(line.node, SectionLine):
                section, headless = self._section(line.node, tree.source, line), False
            elif isinstance(line.node, ChoreLine):
                if section is not None:
                    self._chore(line.node, section, tree.source, line.number)
                elif not headless:
                    self._orphan(line.node, tree.source, line.number)
            elif line.fault is not None and meant_as_header(text):
                section, headless = None, True

    def finish(self) -> tuple[tuple[Section, ...], dict[str, Chore]]:
        """All sections, and all chores by name, once every tree has been read."""
        chores = {}
        for name, lines in self._lines.items():
            title = next((title for _, title in lines if title), None)
            routines = tuple(routine for routine, _ in lines)
            chores[name] = Chore(name, title_of(name, title), routines)
        strange = [one for one in self._references if one[0].value not in chores]
        if strange:
            known = near_to(chores)
            self._findings += (Stranger("chore", one.value, known).at(at) for one, at in strange)
        return tuple(self._sections), chores

    def _section(self, node: SectionLine, source: Source, line: Line) -> Section:
        place = node.cadence.at(source, line.number)
        cadence = node.cadence.value
        values = {one.field: plain(getattr(node, one.field)) for one in CLAUSES[SectionLine]}
        section = Section(**values, place=place)
        header = write_cadence(cadence)
        if section.lacks_from:
            self._findings.append(_without_from(place, header))
            section = replace(section, paused=True)
        if never_falls(cadence):
            self._findings.append(_without_day(place, cadence))
        self._sections.append(section)
        return section

    def _chore(self, node: ChoreLine, section: Section, source: Source, line: int) -> None:
        name = node.name.value
        values = {
            one.field: self._value(one, getattr(node, one.field), source, line)
            for one in CLAUSES[ChoreLine]
            if one.kind != "title"
        }
        values["first"] = _later(values["first"], section.first)
        values["last"] = _earlier(values["last"], section.last)
        values["paused"] |= section.paused
        routine = Routine(
            **values,
            section=section,
            place=Place(source, line, node.name.start, len(source.lines[line].rstrip())),
            name_place=node.name.at(source, line),
        )
        others = self._in_force.setdefault((name, section, routine.paused), _Spans())
        other = others.added(routine)
        if other is None:
            self._lines.setdefault(name, []).append((routine, node.title))
            return
        message = f'"{name}" stands twice under `{write_cadence(section.cadence)}`'
        self._findings.append(repeated_line(node.name.at(source, line), message, other.name_place))

    def _value(self, clause: Clause, value: Any, source: Source, line: int) -> Any:
        """What the household makes of a clause: of names those that it knows."""
        declared = self._declared
        if clause.kind == "turn":
            return self._assignment(value, source, line)
        if clause.names == "area":
            return declared.known_areas(value, source, line)
        if clause.kind == "names":
            value = tuple(declared.each_once(value, source, line))
        if clause.names == "chore":
            self._references.extend((other, other.at(source, line)) for other in value)
        return plain(value)

    def _assignment(self, turn: Turn | None, source: Source, line: int) -> Assignment:
        if turn is None:
            return ANYONE
        if turn.form == "each":
            return Assignment("each", tuple(self._declared.people))
        people = self._declared.known_people(turn.people, source, line)
        return Assignment(turn.form, people) if people else ANYONE

    def _orphan(self, node: ChoreLine, source: Source, line: int) -> None:
        self._findings.append(
            UNREADABLE_LINE.finding(
                node.name.at(source, line),
                f'"{node.name.value}" stands under no section',
                "a chore comes round as its section says; this one never would",
                "write a section header above it, such as `every monday`",
            )
        )


def _without_from(place: Place, header: str) -> Finding:
    from ledger.text.edits import write

    dated = write(place, f"{header} from YYYY-MM-DD")._replace(solves=False)
    return MISSING_FROM.finding(
        place,
        f"`{header}` does not say from when",
        "any of them could be the first, so no date can be given to its chores",
        f"{dated.words} with a date on which it falls",
        fixes=[dated],
    )


def _without_day(place: Place, cadence: Cadence) -> Finding:
    from ledger.text.edits import write

    last = cadence._replace(on=(MonthDay(LAST, None),))
    return IMPOSSIBLE_DATE.finding(
        place,
        f"`{write_cadence(cadence)}` falls on no day",
        "the months it names are shorter, so its chores never come up",
        "write a day that the month has, or `last` for its last day",
        fixes=[write(place, write_cadence(last))],
    )


_DECLARATIONS = (
    "household", "since", "week", "day", "person", "area", "limit", "away",
)  # fmt: skip


def meant_as_header(text: str) -> bool:
    """True for an unread line at the margin that is no comment, record, declaration or mark of
    a merge, as far as its first word can tell: what was meant to open a section must not lend
    its chores to another."""
    if text[:1] in ("", " ", "\t", "#"):
        return False
    word = text.replace("\t", " ").split(" ")[0]
    if word[0] in "0123456789":
        return word.isdecimal()
    from ledger.text.hints.merge import is_mark

    return not is_mark(text) and not _declares(word)


@lru_cache(maxsize=1 << 12)
def _declares(word: str) -> bool:
    """True for the first word of a declaration, misspelt or not."""
    from ledger.text.near import nearest

    return word in _DECLARATIONS or nearest(word, _DECLARATIONS) is not None


def _later(one: int | None, other: int | None) -> int | None:
    return max((day for day in (one, other) if day is not None), default=None)


def _earlier(one: int | None, other: int | None) -> int | None:
    return min((day for day in (one, other) if day is not None), default=None)


class _Spans:
    """Lines of one chore in one section, none of which is in force on a day of another."""

    def __init__(self) -> None:
        # First and last days of the lines in order, and which of the lines each is.
        self._spans: list[tuple[float, float, int]] = []
        self._lines: list[Routine] = []
        self._empty: list[tuple[float, float, int]] = []
        """Of lines whose last day is before their first: these have no order."""

    def added(self, line: Routine) -> Routine | None:
        """The first of the lines that is in force on a day of this one; None where none is, and
        the line is then one of them."""
        first = -inf if line.first is None else line.first
        last = inf if line.last is None else line.last
        begin = bisect_right(self._spans, (first, -inf, 0))
        begin -= begin > 0 and self._spans[begin - 1][1] >= first
        meeting = [one for one in self._empty if one[0] <= last and first <= one[1]]
        if first <= last:
            end = bisect_right(self._spans, (last, inf, len(self._lines)))
            meeting += self._spans[begin:end]
        else:
            meeting += [one for one in self._spans if one[0] <= last and first <= one[1]]
        if meeting:
            return self._lines[min(number for _, _, number in meeting)]
        kept = self._spans if first <= last else self._empty
        insort(kept, (first, last, len(self._lines)))
        self._lines.append(line)
        return None

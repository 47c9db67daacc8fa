"""Sections and chores: the containers of each chore, and the dates its lines are in force."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from ledger.household.days import without_from
from ledger.household.model import ANYONE, Assignment, Chore, Routine, Section
from ledger.household.names import Declarations, Stranger, near_to, repeated_line, title_of
from ledger.text.cadences import write_cadence
from ledger.text.clauses import CLAUSES, ChoreLine, Clause, SectionHeader, Turn, plain
from ledger.text.finding import (
    UNREADABLE_LINE,
    Finding,
)
from ledger.text.parts import Name
from ledger.text.source import Source, TextRange
from ledger.text.tree import STEP, Step, Tree


class RoutineReader:
    """Reads the sections of one tree after another; a chore belongs to the section above it."""

    def __init__(self, declared: Declarations, findings: list[Finding]) -> None:
        self._declared = declared
        self._findings = findings
        self._sections: list[Section] = []
        self._lines: dict[str, list[tuple[Routine, Name | None]]] = {}
        self._places: dict[tuple[str, Section], TextRange] = {}
        """Where each chore first stands in each container."""
        self._references: list[tuple[Name, TextRange]] = []

    def read(self, tree: Tree) -> None:
        """Take in one file. A section ends with its file."""
        section: Section | None = None
        is_below = False
        steps = self._steps(tree)
        for line in tree.lines:
            if line.opens:
                # Chores below a faulty header belong to no known section.
                is_below = True
                section = None
                if isinstance(line.node, SectionHeader):
                    section = self._section(line.node, tree, line.number)
            elif isinstance(line.node, ChoreLine):
                if section is not None:
                    self._chore(line.node, section, tree.source, line.number, steps)
                elif not is_below:
                    self._orphan(line.node, tree.source, line.number)

    def finish(self) -> tuple[tuple[Section, ...], dict[str, Chore]]:
        """All sections, and all chores by name, once every tree has been read."""
        chores = {}
        for name, lines in self._lines.items():
            title = next((title for _, title in lines if title), None)
            routines = tuple(routine for routine, _ in lines)
            chores[name] = Chore(name, title_of(name, title), routines)
        unknown = [(name, at) for name, at in self._references if name.value not in chores]
        if unknown:
            known = near_to(chores)
            self._findings += (Stranger("chore", name.value, known).at(at) for name, at in unknown)
        return tuple(self._sections), chores

    def _section(self, node: SectionHeader, tree: Tree, line: int) -> Section:
        place = node.cadence.at(tree.source, line)
        cadence = node.cadence.value
        values = {
            clause.field: self._value(clause, getattr(node, clause.field), tree.source, line)
            for clause in CLAUSES[SectionHeader]
        }
        section = Section(**values, place=place)
        if section.lacks_from:
            from ledger.text.misread import with_silenced

            self._findings.append(with_silenced(without_from(place, cadence), tree))
            section = section._replace(paused=True)
        self._sections.append(section)
        return section

    def _steps(self, tree: Tree) -> dict[int, list[str]]:
        """The steps of each chore line of a file, by its number; one of no chore is a finding."""
        steps: dict[int, list[str]] = {}
        for line, owner in tree.owned_steps():
            if owner is None:
                self._findings.append(_stray_step(tree.source, line.number))
            elif isinstance(line.node, Step):
                steps.setdefault(owner.number, []).append(line.node.text.value)
        return steps

    def _chore(
        self,
        node: ChoreLine,
        section: Section,
        source: Source,
        line: int,
        steps: Mapping[int, Sequence[str]],
    ) -> None:
        name = node.name.value
        values = {
            clause.field: self._value(clause, getattr(node, clause.field), source, line)
            for clause in CLAUSES[ChoreLine]
            if clause.kind != "title"
        }
        values["first"] = _later(values["first"], section.first)
        values["last"] = _earlier(values["last"], section.last)
        values["during"] = tuple(filter(None, (section.during, values["during"])))
        values["excepted"] |= section.excepted
        values |= _flags(section, values)
        routine = Routine(
            **values,
            section=section,
            steps=tuple(steps.get(line, ())),
            is_for_everyone=node.assignment == Turn("each"),
            place=TextRange(source, line, node.name.start, len(source.lines[line].rstrip())),
            name_place=node.name.at(source, line),
        )
        lines = self._lines.setdefault(name, [])
        first = self._places.setdefault((name, section), routine.name_place)
        if first is routine.name_place:
            other = next(iter(lines), None)
            if other and (section.is_after_done or other[0].section.is_after_done):
                self._findings.append(_beside_after_done(routine, other[0]))
            else:
                lines.append((routine, node.title))
            return
        header = write_cadence(section.cadence)
        message = f'"{name}" stands twice under `{header}`'
        other_way = ""
        if node.first is not None:
            start = date.fromordinal(node.first.value)
            other_way = f"; for other days write another header, `{header} from {start}`"
        self._findings.append(repeated_line(routine.name_place, message, first, other_way))

    def _value(self, clause: Clause, value: Any, source: Source, line: int) -> Any:
        """The value of a clause; unknown people and areas are left out."""
        declared = self._declared
        if clause.kind == "turn":
            return self._assignment(value, source, line)
        if clause.kind == "day-list":
            return declared.day_list(value, source, line)
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
        if turn.form == "each" and not turn.people:
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


def _flags(section: Section, own: Mapping[str, Any]) -> dict[str, bool]:
    """The flags of a line: those of its section and its own. Where one of the two says `vital` and
    the other `spare`, its own counts."""
    vital, spare = own["vital"], own["spare"]
    return {
        "vital": vital or (section.vital and not spare),
        "spare": spare or (section.spare and not vital),
        "expires": own["expires"] or section.expires,
        "paused": own["paused"] or section.paused,
    }


def _stray_step(source: Source, line: int) -> Finding:
    from ledger.text.edits import write
    from ledger.text.hints.stray_steps import line_meant

    text = source.lines[line]
    start = text.index(STEP)
    meant = line_meant(source, text[start + 1 :])
    fix = "move it below its chore, or write `#` before it if it is a note"
    fixes = []
    if meant is not None:
        what, words = meant
        whole = write(TextRange(source, line, 0, len(text)), words)
        fixes = [whole._replace(title=f"Write `{words.strip()}`")]
        fix = f"write `{words}` if it is {what}; else move it below its chore, or leave it out"
    return UNREADABLE_LINE.finding(
        TextRange(source, line, start, start + 1),
        "this step stands under no chore",
        "a step tells how to do the chore above it; here it would be shown nowhere",
        fix,
        fixes=fixes,
    )


def _beside_after_done(routine: Routine, first: Routine) -> Finding:
    place = routine.name_place
    text = place.source.lines[place.line][place.start : place.end]
    headers = (write_cadence(one.section.cadence) for one in (first, routine))
    return repeated_line(
        place,
        f'"{text}" already comes round by `{next(headers)}`, so not by `{next(headers)}` too',
        first.name_place,
        why="days after the last doing and days of the calendar would contradict each other",
    )


def _later(one: int | None, other: int | None) -> int | None:
    return max((day for day in (one, other) if day is not None), default=None)


def _earlier(one: int | None, other: int | None) -> int | None:
    return min((day for day in (one, other) if day is not None), default=None)

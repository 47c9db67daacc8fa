"""The lines of one chore in the routine, in words, and what each is on a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from ledger.household.cadence import container
from ledger.household.model import Household, Section
from ledger.schedule.in_force import lines_in_force
from ledger.schedule.windows import Timeline
from ledger.text.cadences import write_cadence
from ledger.text.values import MONTHS


class Line(NamedTuple):
    """One line of the routine that the chore has."""

    container: str
    cadence: str
    """As a header says it, with its season and the days of its window."""
    minutes: int | None
    """As declared; for a chore that each does, of one person."""
    areas: tuple[str, ...]
    form: str
    """any of the people, in turn (then), or each of them."""
    people: tuple[str, ...]
    things: tuple[str, ...]
    first: date | None
    last: date | None
    """The days in force, where the line or its section says so."""
    status: str
    """in-force, to-come, over, paused, or aside where another line speaks alone."""
    file: str
    line: int
    """Counted from 1."""


def lines_of(household: Household, name: str, on: int) -> Iterator[Line]:
    """The lines of a chore, by its name, in the order of the book, as they are on a day."""
    chore = household.chores[name]
    in_force = lines_in_force(household, name, on)
    timeline = Timeline(household, chore)
    for line in chore.routines:
        first, last = timeline.in_force(line)
        if line.paused:
            status = "paused"
        elif any(line is one for one in in_force):
            status = "in-force"
        elif on < first:
            status = "to-come"
        elif on > last or line.section.cadence.is_once:
            status = "over"
        else:
            status = "aside"
        yield Line(
            container=container(line.section),
            cadence=_rhythm(line.section),
            minutes=line.minutes,
            areas=line.areas,
            form=line.assignment.form,
            people=line.assignment.people,
            things=line.things,
            first=date.fromordinal(line.first) if line.first is not None else None,
            last=date.fromordinal(line.last) if line.last is not None else None,
            status=status,
            file=line.place.source.path,
            line=line.place.line + 1,
        )


def _rhythm(section: Section) -> str:
    """When a section comes round, as its header says it."""
    words = write_cadence(section.cadence)
    if section.during is not None:
        first, last = section.during
        words += f" during {MONTHS[first - 1]} to {MONTHS[last - 1]}"
    if section.within is not None:
        words += f" within {section.within} {'day' if section.within == 1 else 'days'}"
    return words

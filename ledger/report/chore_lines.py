"""The lines of one chore in the routine, in words, with the status of each on a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Annotated, Literal, NamedTuple

from ledger.calendar.in_force import lines_in_force
from ledger.calendar.windows import Timeline
from ledger.household.cadence import container
from ledger.household.model import Household, Section
from ledger.text.cadences import write_cadence
from ledger.text.fields import FileName, LineNumber, OneOf, Positive
from ledger.text.values import MONTHS
from ledger.text.words import days_text

Status = Literal["in-force", "to-come", "over", "paused", "aside"]


class RoutineLine(NamedTuple):
    """A line of the routine."""

    container: str
    """What its section is called: the section's title, or else its cadence."""
    cadence: str
    """When it comes round, as its section says, with the season and the days of a window."""
    minutes: Positive | None
    """Minutes it should take, as the book says; None where it says none. Where each person does it,
    the minutes of one."""
    areas: tuple[str, ...]
    """Names of the areas in which it is done."""
    form: Annotated[str, OneOf("any", "then", "each")]
    """`any`: one of the people does it. `then`: they take turns. `each`: everyone does their
    own."""
    people: tuple[str, ...]
    """Names of the people; empty for anyone."""
    things: tuple[str, ...]
    """What it uses, in the words of the book."""
    first: date | None
    """First day in force, where the line or its section says so; else None."""
    last: date | None
    """Last day in force, where the line or its section says so; else None."""
    status: Status
    """What the line is on the day. `aside`: another line of the chore, `after done`, counts
    alone."""
    file: FileName
    line: LineNumber


def lines_of(household: Household, name: str, on: int) -> Iterator[RoutineLine]:
    """The lines of a chore, by its name, in the order of the book, as they are on a day."""
    chore = household.chores[name]
    in_force = lines_in_force(household, name, on)
    timeline = Timeline(household, chore)
    status: Status
    for line in chore.routines:
        first, last = timeline.in_force(line)
        if line.paused:
            status = "paused"
        elif any(line is other for other in in_force):
            status = "in-force"
        elif on < first:
            status = "to-come"
        elif on > last or line.section.cadence.is_once:
            status = "over"
        else:
            status = "aside"
        yield RoutineLine(
            container=container(line.section),
            cadence=_cadence_text(line.section),
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


def _cadence_text(section: Section) -> str:
    """When a section comes round, as its header says it."""
    words = write_cadence(section.cadence)
    if section.during is not None:
        first, last = section.during
        words += f" during {MONTHS[first - 1]} to {MONTHS[last - 1]}"
    if section.within is not None:
        words += f" within {days_text(section.within)}"
    return words

"""The lines of one chore in the routine, in words, with the status of each on a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Annotated, Literal, NamedTuple

from ledger.calendar.day_lists import dates_of
from ledger.calendar.in_force import lines_in_force
from ledger.household.cadence import container
from ledger.household.model import DayList, Household, Routine
from ledger.text.cadences import write_cadence
from ledger.text.fields import FileName, LineNumber, OneOf, Positive
from ledger.text.words import days_text
from ledger.text.writer import write_day_item

Status = Literal["in-force", "to-come", "over", "paused"]


class RoutineLine(NamedTuple):
    """A line of the routine."""

    container: str
    """What its section is called: the section's title, or else its cadence."""
    cadence: str
    """When it comes round, as its section and the line say, with the days it is kept to and the
    days of a window."""
    minutes: Positive | None
    """Minutes it should take, as the book says; None where it says none. Where each person does it,
    the minutes of one."""
    areas: tuple[str, ...]
    """Names of the areas in which it is done."""
    form: Annotated[str, OneOf("any", "then", "together", "each")]
    """`any`: one of the people does it. `then`: they take turns. `together`: all of them do it at
    once. `each`: everyone does their own."""
    people: tuple[str, ...]
    """Names of the people; empty for anyone."""
    things: tuple[str, ...]
    """What it uses, in the words of the book."""
    first: date | None
    """First day in force, where the line or its section says so; else None."""
    last: date | None
    """Last day in force, where the line or its section says so; else None."""
    vital: bool
    """True where it is asked on days of rest too."""
    expires: bool
    """True where it is missed, not late, if it is not done on its days."""
    spare: bool
    """True where it is only offered when time is left."""
    steps: tuple[str, ...]
    """The steps below the line, in order."""
    status: Status
    """What the line is on the day, whatever lists of days it is kept to."""
    file: FileName
    line: LineNumber


def lines_of(household: Household, name: str, on: int) -> Iterator[RoutineLine]:
    """The lines of a chore, by its name, in the order of the book, as they are on a day."""
    chore = household.chores[name]
    in_force = lines_in_force(household, name, on)
    status: Status
    for line in chore.routines:
        first, _ = dates_of(household, line)
        if line.paused:
            status = "paused"
        elif any(line is other for other in in_force):
            status = "in-force"
        elif on < first:
            status = "to-come"
        else:
            status = "over"
        yield RoutineLine(
            container=container(line.section),
            cadence=_cadence_text(line),
            minutes=line.minutes,
            areas=line.areas,
            form=line.assignment.form,
            people=line.assignment.people,
            things=line.things,
            first=date.fromordinal(line.first) if line.first is not None else None,
            last=date.fromordinal(line.last) if line.last is not None else None,
            vital=line.vital,
            expires=line.expires,
            spare=line.spare,
            steps=line.steps,
            status=status,
            file=line.place.source.path,
            line=line.place.line + 1,
        )


def _cadence_text(line: Routine) -> str:
    """When a line comes round, in the words of the book."""
    section = line.section
    words = [write_cadence(section.cadence)]
    words += (f"during {_days_text(days)}" for days in line.during)
    if line.excepted:
        words.append(f"except {_days_text(line.excepted)}")
    if section.within is not None:
        words.append(f"within {days_text(section.within)}")
    return " ".join(words)


def _days_text(days: DayList) -> str:
    return ", ".join(write_day_item(item) for item in sorted(days))

"""Said: what a household holds, as short texts that two versions can be compared by."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date

from ledger.household.model import Absence, Assignment, Household, Routine, Section
from ledger.text.values import DAYS, MONTHS
from ledger.text.writer import duration, write_cadence


def day_text(day: int | None) -> str:
    """A day as YYYY-MM-DD; empty for none."""
    return "" if day is None else date.fromordinal(day).isoformat()


def assignment_text(assignment: Assignment) -> str:
    """Who does a chore; empty where anyone may."""
    if assignment.form == "each":
        # Of everybody there is: a person who comes or goes is told once, and not at each chore.
        return "each"
    if assignment.form == "then":
        return " then ".join(assignment.people)
    return " or ".join(sorted(assignment.people))


def _clock(minutes: int) -> str:
    return f"{minutes // 60:02}:{minutes % 60:02}"


SETTINGS: Mapping[str, Callable[[Household], str]] = {
    "household": lambda home: home.title or "",
    "since": lambda home: day_text(home.since),
    "week starts": lambda home: DAYS[home.week_start],
    "weekend is": lambda home: ", ".join(DAYS[day] for day in home.weekend),
    "day ends": lambda home: _clock(home.day_ends),
}
"""The settings of a book, each with what a household has for it."""

SECTION: Mapping[str, Callable[[Section], str]] = {
    "cadence": lambda section: write_cadence(section.cadence),
    "paused": lambda section: "paused" if section.paused else "",
    "during": lambda section: _season(section.during),
    "within": lambda section: f"{section.within} days" if section.within else "",
    "from": lambda section: day_text(section.first),
    "until": lambda section: day_text(section.last),
}
"""What a section header says, but for its title."""

ROUTINE: Mapping[str, Callable[[Routine], str]] = {
    "minutes": lambda routine: duration(routine.minutes) if routine.minutes is not None else "",
    "in": lambda routine: _listed(routine.areas),
    "by": lambda routine: assignment_text(routine.assignment),
    "uses": lambda routine: _listed(routine.things),
    "after": lambda routine: _listed(routine.after),
    "from": lambda routine: _own(routine.first, routine.section.first),
    "until": lambda routine: _own(routine.last, routine.section.last),
    "paused": lambda routine: "paused" if routine.paused and not routine.section.paused else "",
}
"""The clauses of a chore's line; dates and pauses of its section count as the section's."""


def away_key(absence: Absence) -> tuple[int, int, tuple[str, ...]]:
    """What an absence is known by."""
    return absence.first, absence.last, absence.people


def away_name(absence: Absence) -> str:
    """The days of an absence, and whose they are."""
    days = day_text(absence.first)
    if absence.last != absence.first:
        days += f" to {day_text(absence.last)}"
    return f"{days} by {', '.join(absence.people)}" if absence.people else days


def _listed(names: Iterable[str]) -> str:
    """Names whose order says nothing."""
    return ", ".join(sorted(names))


def _season(during: tuple[int, int] | None) -> str:
    return f"{MONTHS[during[0] - 1]} to {MONTHS[during[1] - 1]}" if during else ""


def _own(day: int | None, section_day: int | None) -> str:
    return "" if day == section_day else day_text(day)

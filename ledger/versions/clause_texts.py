"""Clause texts: what a household holds, as short texts by which two versions are compared."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import Any

from ledger.household.model import Absence, Household, Routine, Section
from ledger.text.clauses import CLAUSES, Clause
from ledger.text.tree import ChoreLine, SectionHeader
from ledger.text.values import DAYS
from ledger.text.writer import say_value


def day_text(day: int | None) -> str:
    """A day as YYYY-MM-DD; empty for none."""
    return "" if day is None else date.fromordinal(day).isoformat()


def _clock(minutes: int) -> str:
    return f"{minutes // 60:02}:{minutes % 60:02}"


SETTINGS: Mapping[str, Callable[[Household], str]] = {
    "household": lambda home: home.title or "",
    "since": lambda home: day_text(home.since),
    "week starts": lambda home: DAYS[home.week_start],
    "weekend is": lambda home: ", ".join(DAYS[day] for day in home.weekend),
    "day ends": lambda home: _clock(home.day_ends),
}
"""The settings of a book, each with a function for its text."""


def _clause_text(clause: Clause, value: Any) -> str:
    """A clause as text; empty where not given. Names are sorted where their order says nothing."""
    if clause.kind == "turn":
        # `by each` means everybody: a person who comes or goes is one change, not one at each
        # chore.
        form, people = value
        return say_value(clause, (form, sorted(people) if form == "any" else people))
    if clause.kind == "names":
        value = sorted(value)
    elif clause.kind == "flag":
        return clause.keyword if value else ""
    return say_value(clause, value) if value is not None else ""


def _section_text(clause: Clause, section: Section) -> str:
    return _clause_text(clause, getattr(section, clause.field))


def _routine_text(clause: Clause, routine: Routine) -> str:
    """What a chore's line says itself; what it has from its section counts as the section's."""
    value = getattr(routine, clause.field)
    if value == getattr(routine.section, clause.field, not value):
        return ""
    return _clause_text(clause, value)


def _label(clause: Clause) -> str:
    return clause.keyword or clause.field


SECTION: Mapping[str, Callable[[Section], str]] = {
    _label(clause): partial(_section_text, clause)
    for clause in CLAUSES[SectionHeader]
    if clause.kind != "title"
}
"""The clauses of a section header except its title, each with a function for its text."""

ROUTINE: Mapping[str, Callable[[Routine], str]] = {
    _label(clause): partial(_routine_text, clause)
    for clause in CLAUSES[ChoreLine]
    if clause.kind != "title"
}
"""The clauses of a chore's line except its title, each with a function for its text."""


def away_key(absence: Absence) -> tuple[int, int, tuple[str, ...]]:
    """The key by which two versions of an absence are paired."""
    return absence.first, absence.last, absence.people


def away_name(absence: Absence) -> str:
    """The days of an absence, and who is away."""
    days = day_text(absence.first)
    if absence.last != absence.first:
        days += f" to {day_text(absence.last)}"
    return f"{days} by {', '.join(absence.people)}" if absence.people else days

"""Said: what a household holds, as short texts that two versions can be compared by."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import Any

from ledger.household.model import Absence, Household, Routine, Section
from ledger.text.tree import CLAUSES, ChoreLine, Clause, SectionHeader
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
"""The settings of a book, each with what a household has for it."""


def _said(clause: Clause, value: Any) -> str:
    """What a clause says, names in one order where theirs says nothing; empty where not given."""
    if clause.kind == "turn":
        # `each` is of everybody there is: a person who comes or goes is told once, and not at
        # each chore.
        form, people = value
        return say_value(clause, (form, sorted(people) if form == "any" else people))
    if clause.kind == "names":
        value = sorted(value)
    elif clause.kind == "flag":
        return clause.keyword if value else ""
    return say_value(clause, value) if value is not None else ""


def _of_section(clause: Clause, section: Section) -> str:
    return _said(clause, getattr(section, clause.field))


def _own(clause: Clause, routine: Routine) -> str:
    """What a chore's line says itself: dates and pauses of its section count as the section's."""
    value = getattr(routine, clause.field)
    if value == getattr(routine.section, clause.field, not value):
        return ""
    return _said(clause, value)


def _label(clause: Clause) -> str:
    return clause.keyword or clause.field


SECTION: Mapping[str, Callable[[Section], str]] = {
    _label(clause): partial(_of_section, clause)
    for clause in CLAUSES[SectionHeader]
    if clause.kind != "title"
}
"""What a section header says, but for its title."""

ROUTINE: Mapping[str, Callable[[Routine], str]] = {
    _label(clause): partial(_own, clause) for clause in CLAUSES[ChoreLine] if clause.kind != "title"
}
"""The clauses of a chore's line."""


def away_key(absence: Absence) -> tuple[int, int, tuple[str, ...]]:
    """What an absence is known by."""
    return absence.first, absence.last, absence.people


def away_name(absence: Absence) -> str:
    """The days of an absence, and whose they are."""
    days = day_text(absence.first)
    if absence.last != absence.first:
        days += f" to {day_text(absence.last)}"
    return f"{days} by {', '.join(absence.people)}" if absence.people else days

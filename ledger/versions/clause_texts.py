"""Clause texts: what a household holds, as short texts by which two versions are compared."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from functools import partial
from typing import Any

from ledger.calendar.day_set import apart
from ledger.calendar.week import MAX_DAY
from ledger.household import model
from ledger.household.model import Absence, Household, LimitOf, Routine, Section, Span
from ledger.text.clauses import CLAUSES, ChoreLine, Clause, NamedDays, SectionHeader
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
    """A clause as text; empty where not given. Items are sorted where their order says nothing."""
    if not value:
        return ""
    match clause.kind:
        case "flag":
            return clause.keyword
        case "cadence":
            on = sorted(
                value.on, key=lambda day: (day.weekday is not None, day.number % _LAST, day)
            )
            weekends = sorted(value.weekends, key=lambda number: number % _LAST)
            value = value._replace(on=tuple(on), weekends=tuple(weekends))
        case "turn":
            form, people = value
            value = form, people if form == "then" else sorted(people)
        case "names" | "day-list":
            value = sorted(value)
    return say_value(clause, value)


_LAST = 100
"""In days of the month and numbers of weekends -1 is the last: modulo this, it comes last."""


def _section_text(clause: Clause, section: Section) -> str:
    return _clause_text(clause, getattr(section, clause.field))


def _routine_text(clause: Clause, routine: Routine) -> str:
    """What a chore's line says itself; what it has from its section counts as the section's."""
    section, value = routine.section, getattr(routine, clause.field)
    match clause.field:
        case "assignment" if routine.is_for_everyone:
            # A person who comes or goes is one change, not one at each chore.
            value = value._replace(people=())
        case "during":
            value = frozenset().union(*(days for days in value if days != section.during))
        case "excepted":
            value -= section.excepted
        case _ if value == getattr(section, clause.field, None):
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


NAMED_DAYS: Mapping[str, Callable[[model.NamedDays], str]] = {
    "": lambda days: ", ".join((*_spans(days.spans), *sorted(map(_by_cadence, days.cadences)))),
    "title": lambda days: days.title,
}
"""What all lines of some named days say together."""


def limit_name(of: LimitOf) -> str:
    """Whose limit it is, and for which days."""
    return " ".join(filter(None, of))


def absence_name(absence: Absence) -> str:
    """The days of an absence, and who is away or rests."""
    days = ", ".join(_spans(absence.spans) or sorted(absence.names))
    return f"{days} by {', '.join(sorted(absence.people))}" if absence.people else days


def _spans(spans: Iterable[Span]) -> list[str]:
    """Spans in order of date; those that overlap or touch are one."""
    return [_span(first, last) for first, last in apart(spans)]


def _span(first: int, last: int) -> str:
    if last == MAX_DAY:
        return f"from {day_text(first)}"
    return day_text(first) if first == last else f"{day_text(first)} to {day_text(last)}"


def _by_cadence(days: model.DayCadence) -> str:
    texts = (
        (clause, _clause_text(clause, getattr(days, clause.field)))
        for clause in CLAUSES[NamedDays]
        if clause.kind != "title"
    )
    return " ".join(f"{clause.keyword} {text}".lstrip() for clause, text in texts if text)

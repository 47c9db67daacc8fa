"""Completion items: words that may be typed, with what the book knows of each."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from datetime import date
from typing import NamedTuple

from lsprotocol import types as lsp

from ledger.calendar.in_force import lines_in_force
from ledger.editor.view import View
from ledger.household.cautions import HAZARDS
from ledger.household.days import DaysReader
from ledger.household.model import Chore
from ledger.household.names import own_title
from ledger.household.things import mind
from ledger.keeping.minutes import learned_minutes
from ledger.render.layout import near_day, short_day
from ledger.report.due import due
from ledger.report.task import Task
from ledger.text.clauses import CLAUSES, ChoreLine, SectionHeader
from ledger.text.parser import parser
from ledger.text.values import DAYS, MONTHS, ORDINALS
from ledger.text.words import counted, duration

DURATIONS = ("5 min", "10 min", "15 min", "20 min", "30 min", "45 min", "1 h")

_KIND = lsp.CompletionItemKind
_DETAILS: dict[str, str | None] = {
    "HOUSEHOLD": "what the household is called",
    "SINCE": "the first day of the book",
    "PERSON": "someone of the household",
    "AREA": "a place in the home",
    "LIMIT": "the minutes that fit in a day",
    "AWAY": "days away",
    "REST": "days of rest at home: illness, exams",
    "DAYS": None,
    "DAY_UNIT": None,
    "EVERY": "a section that comes round so often",
    "WEEKEND": "the days of the weekend",
    "WEEKDAY": "the days that are not of the weekend",
    "WEEK": None,
    "MONTH_UNIT": None,
    "ONCE": "a section of one span of days",
    "EACH": "each person does their own",
    "OR": "any one of them",
    "THEN": "they take turns",
    "AND": "all of them together",
    "OF": "only these do their own",
    "DID": "what was done",
    "SKIPPED": "excused: neither done nor missed",
    "MOVED": "this once to another day",
    "WORKED": "some of it is done",
    "TO": "up to",
    "ON": "the days it falls on",
    "LAST": "the last of the month",
}
_FIRST = {
    "DAYS": "days with a name, such as those of school",
    "DAY_UNIT": "when a day ends",
    "WEEKEND": "a section of weekends of the month; or which days a weekend is",
    "WEEK": "on which day a week begins",
}
"""Words that say something else where a line begins."""
_IN_DECLARATIONS = {"BY": "whose days they are", "IS": "the days of a weekend"}
_SPELT_OUT = {"DAY": DAYS, "MONTH": MONTHS, "ORDINAL": ORDINALS}


class CompletionItem(NamedTuple):
    """Something that could be typed."""

    text: str
    detail: str | None
    kind: lsp.CompletionItemKind
    about: str | None = None
    """More about it than the detail says."""


def word_items(kinds: Collection[str], start: str) -> Iterator[CompletionItem]:
    """The keywords of some kinds, in the order in which a book uses them; then names of days and
    months, and ordinals."""
    keywords = parser().tables.keywords
    details = word_details(start)
    spelt = {kind: word for word, kind in keywords.items()}
    # What a book says first is offered first.
    for kind in dict.fromkeys((*details, *spelt)):
        if kind in kinds and kind in spelt:
            yield CompletionItem(spelt[kind], details.get(kind), _KIND.Keyword)
    for kind, words in _SPELT_OUT.items():
        if kind in kinds:
            yield from (CompletionItem(word, None, _KIND.EnumMember) for word in words)


def word_details(start: str) -> dict[str, str | None]:
    """What the words of the grammar say in a line of a kind, or where a line begins."""
    keywords = parser().tables.keywords
    declares = start == "declaration_line"
    clauses = CLAUSES[SectionHeader if declares else ChoreLine]
    of_clauses = {keywords[one.keyword]: one.about for one in clauses if one.keyword}
    special = _IN_DECLARATIONS if declares else {} if start else _FIRST
    return _DETAILS | of_clauses | special


def date_items(view: View, days: Iterable[date]) -> Iterator[CompletionItem]:
    """Dates, each with the day of the week; today and its neighbours by name."""
    for day in days:
        ahead = day.toordinal() - view.today
        near = near_day(ahead)
        name = DAYS[day.weekday()].title()
        yield CompletionItem(day.isoformat(), f"{near}, {name}" if near else name, _KIND.Constant)


def chore_items(view: View, day: int | None, without: Collection[str]) -> Iterator[CompletionItem]:
    """Chores. On a day of the record what is due comes first, then the rest, then what is done."""
    items: dict[str, CompletionItem | None] = dict.fromkeys(without)
    if day is not None:
        answer = due(view.household, day)
        for task in (*answer.late, *answer.today, *answer.may_wait):
            chore = view.household.chores[task.chore]
            items.setdefault(task.chore, _chore_item(view, chore, _state(task)))
        settled = {task.chore: f"{task.state} already" for task in answer.done}
    else:
        settled = {}
    rest = [chore for chore in view.household.chores.values() if chore.name not in items]
    for chore in sorted(rest, key=lambda chore: chore.name in settled):
        items[chore.name] = _chore_item(view, chore, settled.get(chore.name))
    yield from (item for item in items.values() if item is not None)


def _declared(view: View, chore: Chore) -> int | None:
    """The minutes that a chore declares, on the lines in force today if any."""
    today = view.today
    lines = lines_in_force(view.household, chore.name, today) or chore.routines
    return next((line.minutes for line in lines if line.minutes is not None), None)


def _chore_item(view: View, chore: Chore, state: str | None) -> CompletionItem:
    declared = _declared(view, chore)
    title = own_title(chore.name, chore.title)
    words = [duration(declared) if declared is not None else None, state, title]
    return CompletionItem(chore.name, ", ".join(filter(None, words)) or None, _KIND.Function)


def _state(task: Task) -> str:
    if task.state == "overdue":
        return f"{counted(task.days_late, 'day', 'days')} late"
    return "due" if task.first == task.last else f"due until {short_day(task.last)}"


def minutes_items(view: View, name: str) -> Iterator[CompletionItem]:
    """The minutes of a chore: as declared, and as the record has them."""
    chore = view.household.chores.get(name)
    declared = _declared(view, chore) if chore is not None else None
    if declared is not None:
        yield CompletionItem(duration(declared), "as the book says", _KIND.Value)
    learned = learned_minutes(view.household, name, view.today)
    if learned is not None and round(learned.minutes) not in (0, declared):
        yield CompletionItem(duration(learned.minutes), f"{name} lately", _KIND.Value)


def area_items(view: View, without: Collection[str]) -> Iterator[CompletionItem]:
    """Areas with their titles."""
    for area in view.household.areas.values():
        if area.name not in without:
            yield CompletionItem(area.name, own_title(area.name, area.title), _KIND.Class)


def person_items(view: View, without: Collection[str]) -> Iterator[CompletionItem]:
    """People with their titles."""
    for person in view.household.people.values():
        if person.name not in without:
            yield CompletionItem(person.name, own_title(person.name, person.title), _KIND.Variable)


def days_items(view: View, without: Collection[str]) -> Iterator[CompletionItem]:
    """Named days with their titles."""
    for days in view.household.named_days.values():
        if days.name not in without:
            title = own_title(days.name, DaysReader.titled(days))
            yield CompletionItem(days.name, title, _KIND.Enum)


def thing_items(view: View, without: Collection[str]) -> Iterator[CompletionItem]:
    """Things: first those in the book, then those with a caution."""
    used = dict.fromkeys(
        thing
        for chore in view.household.chores.values()
        for line in chore.routines
        for thing in line.things
    )
    for thing in {**used, **dict.fromkeys(HAZARDS)}:
        if thing not in without:
            hazard = HAZARDS.get(thing)
            if hazard is None:
                yield CompletionItem(thing, None, _KIND.Property)
            else:
                yield CompletionItem(thing, hazard.caution, _KIND.Property, mind(hazard))

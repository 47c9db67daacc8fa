"""The week on paper: what each day, or each person, has to tick."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any

from ledger.render.boxes import PAGE, mind_texts
from ledger.render.layout import PLAIN, long_day, short_day
from ledger.render.paper.measures import Size
from ledger.render.tasks_text import (
    KEPT,
    Listed,
    absence_lines,
    apart_lines,
    container_line,
    heading_for,
    task_cells,
    total,
)
from ledger.render.week_text import beyond, listed_of_day, over_words
from ledger.report.task import cautions_for
from ledger.report.week import Week, WeekDay
from ledger.text.shown import safe
from ledger.text.words import duration

ANYONE = "Anyone"


def week_data(
    week: Week,
    page: Size,
    people: Sequence[tuple[str, Week]] | None = None,
    *,
    is_large: bool = False,
    steps: bool = False,
) -> dict[str, Any]:
    """What the template of the week prints, for the days from the one asked about on.

    `people` has what each person is called, with their own week: the tasks are then in a block for
    each of them, instead of by day, and those that nobody was proposed for in one more.
    """
    days = [day for day in week.days if day.day >= week.on]
    tasks = [task for day in week.days for task in day.tasks if task.is_open]
    cautions, last_word = mind_texts(tasks, [one for day in week.days for one in day.apart])
    when = f"Week of {long_day(week.days[0].day)} to {long_day(week.days[-1].day)}"
    cards = list(_by_day(days, week) if people is None else _by_person(days, week, people))
    for heading, some in groupby(beyond(week, PAGE), lambda one: one.heading):
        cards.append(_card(heading, "", _part("", "", [], _rows(some, week.person))))
    return {
        "title": heading_for(PAGE, when, week.household, week.person, week.area),
        "notes": list(filter(None, [KEPT if week.kept_from else "", over_words(week, PAGE)])),
        "cards": cards,
        "cautions": cautions,
        "last_word": last_word,
        "page": page._asdict(),
        "large": is_large,
        "steps": steps,
    }


def _by_day(days: Sequence[WeekDay], week: Week) -> Iterator[dict[str, Any]]:
    for day in days:
        spent = total(day.minutes, day.limit, day.shared_minutes)
        rows = _rows(listed_of_day(day, week, PAGE), week.person)
        yield _card(_name(day), spent, _part("", "", _lines(day), rows))


def _by_person(
    days: Sequence[WeekDay], week: Week, people: Sequence[tuple[str, Week]]
) -> Iterator[dict[str, Any]]:
    """First what to take out each day; then for each person the days on which they have something
    to do or are not there; then what nobody in particular does."""
    if lines := [f"{short_day(day.day)}: {line}" for day in days for line in _lines(day)]:
        yield _card("Everyone", "", _part("", "", lines, []))
    for called, own in people:
        parts, minutes = [], 0
        for day in own.days[-len(days) :]:
            tasks = tuple(
                one for one in day.tasks if not one.is_shared or one.proposed == own.person
            )
            absent = absence_lines(day.absent, PAGE)
            if not tasks and not absent:
                continue
            minutes += day.minutes - day.shared_minutes
            spent = total(day.minutes - day.shared_minutes, day.limit)
            rows = _rows(listed_of_day(day._replace(tasks=tasks), own, PAGE), own.person)
            parts.append(_part(_name(day), spent, absent, rows))
        yield _card(called, duration(minutes), *parts)
    parts = []
    for day in days:
        tasks = tuple(one for one in day.tasks if one.is_shared and one.proposed is None)
        if tasks:
            spent = duration(sum(one.total for one in tasks))
            rows = _rows(listed_of_day(day._replace(tasks=tasks), week, PAGE), None)
            parts.append(_part(_name(day), spent, [], rows))
    if parts:
        yield _card(ANYONE, "", *parts)


def _name(day: WeekDay) -> str:
    return long_day(day.day).rsplit(" ", 1)[0]


def _lines(day: WeekDay) -> list[str]:
    """What is said of a day above its tasks."""
    return [
        *absence_lines(day.absent, PAGE),
        *apart_lines(day.apart, PAGE),
        *container_line(day.containers, PAGE),
    ]


def _card(name: str, spent: str, *parts: dict[str, Any]) -> dict[str, Any]:
    return {"name": name, "total": spent, "parts": list(parts)}


def _part(
    name: str, spent: str, lines: Iterable[str], rows: list[dict[str, Any]]
) -> dict[str, Any]:
    return {"name": name, "total": spent, "lines": [line.strip() for line in lines], "rows": rows}


def _rows(listed: Iterable[Listed], person: str | None) -> list[dict[str, Any]]:
    return [_row(one, person) for one in listed]


def _row(one: Listed, person: str | None) -> dict[str, Any]:
    task = one.task
    minutes, who, notes = task_cells(one, PLAIN, person)
    return {
        "title": safe(task.title),
        "minutes": "" if minutes == "-" else minutes,
        "facts": ", ".join(filter(None, (who, notes))),
        "state": "open" if task.is_open else task.state,
        "vital": task.vital,
        "caution": bool(cautions_for(task.things)),
        "steps": [safe(step) for step in task.steps],
    }

"""The week on paper: what each day has to tick, for all, for each person, or for a child."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from itertools import groupby
from typing import Any

from ledger.render.boxes import PAGE, mind_texts
from ledger.render.layout import PLAIN, long_day
from ledger.render.paper.measures import Size
from ledger.render.tasks_text import (
    KEPT,
    Listed,
    absence_lines,
    apart_lines,
    container_line,
    heading_for,
    late_from,
    task_cells,
    total,
    until,
)
from ledger.render.week_text import LET_GO, beyond, listed_of_day, listed_with, over_words
from ledger.report.task import Task, cautions_for
from ledger.report.week import Week, WeekDay
from ledger.text.shown import safe

EVERYONE = "Everyone"
Row = dict[str, Any]


def week_data(
    week: Week,
    people: Sequence[tuple[str, Week]] | None,
    page: Size,
    called: str = "",
    *,
    is_large: bool = False,
    steps: bool = False,
) -> dict[str, Any]:
    """What the template of the week prints, for the days from the one asked about on: lists, each
    on pages of its own.

    `called` is the title of the person asked for; in large type, their list is a child's. `people`
    has the title of each person with their own week: each of them has a list then, without what
    others may as well do. The last list has what nobody in particular does, and what to take out.
    A person without tasks has no list.
    """
    row = partial(_row, steps=steps)
    if people is not None:
        lists = [_list(_own(own), name, row, has_all_days=False) for name, own in people]
        lists.append(_list(_of_nobody(week), EVERYONE, row, has_all_days=False))
        lists = [one for one in lists if one["cards"]] or lists[-1:]
    elif is_large and week.person is not None:
        lists = [_list(_for_child(_own(week)), called, partial(_childs_row, steps=steps))]
    else:
        lists = [_list(week, called, row)]
    return {
        "title": heading_for(PAGE, _when(week), week.household, week.person, week.area),
        "lists": lists,
        "page": page._asdict(),
        "large": is_large,
        "steps": steps,
    }


def _own(week: Week) -> Week:
    """The week of a person with what they do, without what others may as well do, and without what
    to take out for all of it."""

    def is_own(task: Task) -> bool:
        return not task.is_shared or task.proposed == week.person

    def of_day(day: WeekDay) -> WeekDay:
        tasks = tuple(filter(is_own, day.tasks))
        chores = {task.chore for task in tasks}
        return day._replace(
            tasks=tasks,
            minutes=day.minutes - day.shared_minutes,
            shared_minutes=0,
            containers=(),
            apart=tuple(one for one in day.apart if chores.intersection(one.chores)),
        )

    return week._replace(
        days=tuple(map(of_day, week.days)), may_wait=tuple(filter(is_own, week.may_wait))
    )


def _of_nobody(week: Week) -> Week:
    """The week of a household with what nobody in particular does."""

    def is_left(task: Task) -> bool:
        return task.is_shared and task.proposed is None

    def of_day(day: WeekDay) -> WeekDay:
        tasks = tuple(filter(is_left, day.tasks))
        return day._replace(tasks=tasks, minutes=sum(one.total for one in tasks), limit=None)

    return week._replace(
        days=tuple(map(of_day, week.days)), may_wait=tuple(filter(is_left, week.may_wait))
    )


def _for_child(week: Week) -> Week:
    """The week of a person without what is for those who plan it: limits, and what may wait."""
    days = tuple(day._replace(limit=None, over=0) for day in week.days)
    return week._replace(days=days, may_wait=(), kept_from=None)


def _when(week: Week) -> str:
    """The days that the page has: the whole week, or what is left of it."""
    first, last = max(week.on, week.days[0].day), week.days[-1].day
    words = " to ".join(map(long_day, sorted({first, last})))
    return words if first > week.days[0].day else f"Week of {words}"


def _list(
    week: Week,
    name: str,
    row: Callable[[Listed, str | None], Row],
    *,
    has_all_days: bool = True,
) -> dict[str, Any]:
    """A list of the days of a week, each with its tasks, and of what is on none of them."""
    cards = []
    for day in week.days:
        lines = [
            *absence_lines(day.absent, PAGE),
            *apart_lines(day.apart, PAGE),
            *container_line(day.containers, PAGE),
        ]
        if day.day >= week.on and (has_all_days or day.tasks or lines):
            listed = listed_of_day(day, week, PAGE, late_from)
            cards.append(
                {
                    "name": long_day(day.day).rsplit(" ", 1)[0],
                    "total": _total(day),
                    "lines": [line.strip() for line in lines],
                    "rows": [row(one, week.person) for one in listed],
                }
            )
    for heading, some in groupby(beyond(week, PAGE, late_from), lambda one: one.heading):
        rows = [row(one, week.person) for one in some]
        cards.append({"name": heading, "total": "", "lines": [], "rows": rows})
    cautions, last_word = mind_texts(*listed_with(week))
    return {
        "name": safe(name),
        "title": heading_for(PAGE, _when(week), week.household, None, week.area),
        "notes": list(filter(None, [KEPT if week.kept_from else "", over_words(week, PAGE)])),
        "cards": cards,
        "cautions": cautions,
        "last_word": last_word,
    }


def _total(day: WeekDay) -> str:
    """The minutes of a day; none where there is nothing to add up or to compare."""
    is_bare = not day.tasks and day.limit is None
    return "" if is_bare else total(day.minutes, day.limit, day.shared_minutes)


def _row(one: Listed, person: str | None, *, steps: bool) -> Row:
    minutes, who, notes = task_cells(one, PLAIN, person)
    task = one.task
    return {
        "title": safe(task.title),
        "minutes": "" if minutes == "-" else minutes,
        "facts": ", ".join(filter(None, (who, notes))),
        "state": "open" if task.is_open else task.state,
        "asked": one.heading != LET_GO,
        "vital": task.vital,
        "caution": bool(cautions_for(task.things)),
        "steps": [safe(step) for step in task.steps] if steps else [],
    }


def _childs_row(one: Listed, person: str | None, *, steps: bool) -> Row:
    """A row that says only with whom, what became of it, and since when it is left."""
    together = [safe(" and ".join(one.task.people))] if one.task.together else []
    notes = [note for note in one.notes if note != until(one.task)]
    return {**_row(one, person, steps=steps), "facts": ", ".join([*together, *notes])}

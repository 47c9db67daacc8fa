"""The week as text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.render.layout import WIDTH, long_day, short_day
from ledger.render.tasks_text import (
    absence_lines,
    apart_lines,
    container_line,
    heading_for,
    lateness,
    mind_lines,
    task_lines,
    total,
    until,
    usual,
)
from ledger.report.task import Task
from ledger.report.week import Week, WeekDay
from ledger.text.width import width
from ledger.text.words import counted, duration

if TYPE_CHECKING:
    from ledger.planning.likely import Quartiles


def week_text(week: Week) -> str:
    """Seven days with what each holds, for people, in 80 columns."""
    when = f"Week of {long_day(week.days[0].day)} to {long_day(week.days[-1].day)}"
    lines = [heading_for(when, week.household, week.person, week.area)]
    for day in week.days:
        lines += ["", *_day(day, week)]
    if week.may_wait:
        lines += ["", "May wait beyond this week"]
        lines += task_lines(week.may_wait, [until(task) for task in week.may_wait], titles=False)
    lines += ["", _left("Left of this week", week.left, week.likely)]
    lines += mind_lines(week.cautions, [one for day in week.days for one in day.apart])
    return "\n".join(lines) + "\n"


def _left(what: str, spent: int, likely: Quartiles | None) -> str:
    """What is still to be done, and how long that takes by the record."""
    record = f"; by the record {usual(likely)}" if likely else ""
    return f"{what}: {duration(spent)}{record}"


def _day(day: WeekDay, week: Week) -> list[str]:
    name = long_day(day.day).rsplit(" ", 1)[0]
    is_on = day.day == week.on
    mark = " (this day)" if is_on else ""
    sum_of_day = total(day.minutes, day.limit)
    blanks = WIDTH - width(name + mark) - width(sum_of_day)
    lines = [name + mark + " " * max(blanks, 2) + sum_of_day]
    lines += absence_lines(day.away, day.rest, "  ")
    lines += apart_lines(day.apart, "  ")
    lines += container_line(day.containers, "  ")
    notes = [_note(task, day, week) for task in day.tasks]
    lines += task_lines(day.tasks, notes, titles=False)
    if is_on and day.left < day.minutes:
        lines.append(_left("  Left to do", day.left, day.likely))
    elif is_on and day.likely:
        lines.append(f"  By the record: {usual(day.likely)}")
    return lines


def _note(task: Task, day: WeekDay, week: Week) -> str:
    if task.state == "overdue":
        return lateness(task)
    if task.state == "due":
        notes = [
            _carried(task, week),
            until(task) if (task.last_asked or task.last) > day.day else "",
        ]
        return ", ".join(filter(None, notes))
    if task.state == "done" and task.settled is not None and task.settled > task.last:
        return f"done {counted((task.settled - task.last).days, 'day', 'days')} late"
    if task.state == "done" and task.settled is not None and task.settled < task.first:
        return f"done {counted((task.first - task.settled).days, 'day', 'days')} early"
    return task.state


def _carried(task: Task, week: Week) -> str:
    """Since when a task is left over, if its window opened on an earlier day of this week and is
    shorter than a week."""
    opened = week.days[0].day <= task.first < week.on
    is_short = (task.last - task.first).days < len(week.days) - 1
    return f"left from {short_day(task.first)}" if opened and is_short else ""

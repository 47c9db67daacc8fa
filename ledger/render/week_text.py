"""The week as text."""

from __future__ import annotations

from ledger.render.layout import WIDTH, long_day, safe, short_day
from ledger.render.tasks_text import (
    caution_lines,
    container_line,
    lateness,
    task_lines,
    total,
    until,
)
from ledger.report.task import Task
from ledger.report.week import Week, WeekDay
from ledger.text.width import width


def week_text(week: Week) -> str:
    """Seven days with what each holds, for people, in 80 columns."""
    title = f", {safe(week.household)}" if week.household else ""
    first, last = week.days[0].day, week.days[-1].day
    lines = [f"Week of {long_day(first)} to {long_day(last)}{title}"]
    for day in week.days:
        lines += ["", *_day(day, is_on=day.day == week.on)]
    if week.waiting:
        lines += ["", "May wait beyond this week"]
        lines += task_lines(week.waiting, [until(task) for task in week.waiting], titles=False)
    mind = caution_lines(week.cautions)
    if mind:
        lines += ["", "Mind", *mind]
    return "\n".join(lines) + "\n"


def _day(day: WeekDay, *, is_on: bool) -> list[str]:
    name = long_day(day.day).rsplit(" ", 1)[0]
    mark = " (this day)" if is_on else ""
    sum_of_day = total(day.minutes, day.limit)
    blanks = WIDTH - width(name + mark) - width(sum_of_day)
    lines = [name + mark + " " * max(blanks, 2) + sum_of_day]
    if day.away is not None:
        lines.append(f"  Away: {safe(day.away)}" if day.away else "  Away")
    lines += container_line(day.containers, "  ")
    lines += task_lines(day.tasks, [_note(task, day) for task in day.tasks], titles=False)
    return lines


def _note(task: Task, day: WeekDay) -> str:
    if task.state == "overdue":
        return lateness(task)
    if task.state == "due":
        return until(task) if task.last > day.day else ""
    if task.state == "done" and task.settled is not None and task.settled > task.last:
        return f"done, late from {short_day(task.last)}"
    if task.state == "done" and task.settled is not None and task.settled < task.first:
        return f"done, early for {short_day(task.first)}"
    return task.state

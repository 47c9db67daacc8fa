"""The list of the day as text."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from ledger.render.layout import long_day
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
from ledger.report.due import Due
from ledger.report.task import Task
from ledger.text.shown import safe
from ledger.text.words import counted, duration

if TYPE_CHECKING:
    from ledger.report.pick import Left, Pick


def due_text(due: Due) -> str:
    """What a day asks for, for people, in 80 columns; of a pick, what was picked and left."""
    lines = [heading_for(long_day(due.day), due.household, due.person, due.area)]
    lines += absence_lines(due.away, due.rest)
    take_out = container_line(due.containers)
    if due.apart:
        lines += ["", *apart_lines(due.apart), *([""] if take_out else [])]
    lines += take_out
    lines += _lists(due) if due.pick is None else _pick(due.pick, due.day)
    lines += mind_lines(due.cautions, due.apart)
    return "\n".join(lines) + "\n"


def _lists(due: Due) -> list[str]:
    lists: tuple[tuple[str, tuple[Task, ...], Callable[[Task], str]], ...] = (
        ("Vital, and nobody is there to do it", due.nobody_there, _nothing),
        ("Late", due.late, lateness),
        ("This day", due.today, _nothing),
        ("May wait", due.may_wait, until),
        ("Done", due.done, _settled),
    )
    lines = []
    for name, tasks, note in lists:
        if tasks:
            lines += ["", name, *task_lines(tasks, map(note, tasks))]
    return [*lines, "", *_totals(due)]


def _nothing(_task: Task) -> str:
    return ""


def _settled(task: Task) -> str:
    return "skipped" if task.state == "skipped" else ""


def _totals(due: Due) -> list[str]:
    if not due.late and not due.today and not due.may_wait:
        return ["Nothing is left for this day."]
    lines = [f"To do: {_must(due)}"]
    if due.likely is not None:
        lines.append(f"By the record: {usual(due.likely)}")
    if due.may_wait:
        lines.append(f"May wait: {duration(due.may_wait_minutes)}")
    return lines


def _must(due: Due) -> str:
    must = [*due.late, *due.today]
    if not must:
        return "nothing that cannot wait"
    unknown = sum(task.minutes is None for task in must)
    timed = total(due.minutes, due.limit) if unknown < len(must) else ""
    without = f"{counted(unknown, 'chore', 'chores')} without minutes" if unknown else ""
    return ", and ".join(filter(None, (timed, without)))


def _pick(pick: Pick, day: date) -> list[str]:
    tasks = [one.task for one in pick.picked]
    if not tasks and not pick.left:
        return ["", "Nothing is left for this day."]
    given = duration(pick.minutes)
    lines = ["", f"Nothing fits in {given}."]
    if tasks:
        lines = ["", f"In {given}", *task_lines(tasks, [_when(task, day) for task in tasks])]
        lines += ["", f"Together: {duration(pick.used)} of {given}"]
    if pick.left:
        left = [one.task for one in pick.left]
        lines += ["", "Left for later"]
        lines += task_lines(left, (_why(one, pick) for one in pick.left), titles=False)
    return lines


def _when(task: Task, day: date) -> str:
    """How late a task is, or until when it may wait."""
    if task.state == "overdue":
        return lateness(task)
    return until(task) if task.spare or (task.last_asked or task.last) > day else ""


def _why(left: Left, pick: Pick) -> str:
    """Why a task is left for later, and how late it is already."""
    notes = [lateness(left.task)] if left.task.state == "overdue" else []
    if left.minutes is None:
        return ", ".join([*notes, "its minutes are not known"])
    notes.append(f"needs {duration(left.minutes)}")
    if left.reason == "too-long":
        notes.append(f"there are {duration(pick.minutes)}")
    elif left.apart_from is not None:
        notes.append(_apart(left))
    else:
        notes.append(f"{duration(pick.rest)} left" if pick.rest else "none left")
    return ", ".join(notes)


def _apart(left: Left) -> str:
    """From which chore a task must be kept apart."""
    if left.apart_from == left.task.chore:
        return "uses two things that must never meet"
    return f"never on one day with {safe(left.apart_from or '')}"

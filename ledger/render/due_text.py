"""The list of the day as text."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from ledger.render.layout import DONE, HIDDEN_BLANK, LATE, PLAIN, Sheet, long_day, wrap
from ledger.render.tasks_text import (
    KEPT,
    Listed,
    absence_lines,
    apart_lines,
    container_line,
    heading_for,
    last_done,
    lateness,
    listed_waiting,
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
from ledger.text.words import listed as listed_words

if TYPE_CHECKING:
    from ledger.report.pick import Left, Pick

SHOWS_ALL = f"(--all{HIDDEN_BLANK}shows{HIDDEN_BLANK}them)"


def due_text(
    due: Due, sheet: Sheet = PLAIN, *, everything: bool = False, steps: bool = False
) -> str:
    """What a day asks for, for people; of a pick, what was picked and left. With `everything`, also
    what may wait and what was done, one by one; with `steps`, the steps of each task."""
    lines = [heading_for(sheet, long_day(due.day), due.household, due.person, due.area)]
    lines += absence_lines(due.absent, sheet)
    if due.kept_from is not None:
        lines += [wrap(KEPT, 2, sheet.width), *container_line(due.containers, sheet)]
    if due.apart:
        lines += ["", *apart_lines(due.apart, sheet)]
    if due.pick is not None:
        lines += _pick(due, due.pick, sheet, steps)
        return "\n".join([*lines, *mind_lines(_picked(due.pick), due.apart, sheet)]) + "\n"
    listed = listed_tasks(due, sheet, everything)
    lines += task_lines(listed, sheet, due.person, steps=steps)
    lines += ["", *_totals(due, sheet, everything)]
    lines += mind_lines((one.task for one in listed if one.task.is_open), due.apart, sheet)
    return "\n".join(lines) + "\n"


def listed_tasks(due: Due, sheet: Sheet, everything: bool) -> list[Listed]:
    """The tasks of the list, each with its heading: what nobody is there for, what is late, then
    container by container."""
    late = sheet.mark("Late", LATE)
    listed = [Listed(one, (), "Vital, and nobody is there to do it") for one in due.nobody_there]
    listed += [Listed(one, (lateness(one, sheet), *_undone(one, due)), late) for one in due.late]
    listed += [Listed(one, _undone(one, due), safe(one.container)) for one in due.today]
    if everything:
        listed += [
            Listed(one, (until(one), *_undone(one, due)), "May wait") for one in due.may_wait
        ]
        done = sheet.mark("Done", DONE)
        listed += [Listed(one, _settled(one), done) for one in due.done]
    elif not due.late and not due.today and not _waiting(due):
        listed += listed_waiting(due.may_wait, "If there is time")
    return listed


def _undone(task: Task, due: Due) -> tuple[str, ...]:
    """How long ago a task was last done, where that is long for it."""
    return () if task.undone is None else (last_done(task.undone, due.day),)


def _waiting(due: Due) -> list[Task]:
    """What must be done, but on a later day if wanted."""
    return [task for task in due.may_wait if not task.spare]


def _settled(task: Task) -> tuple[str, ...]:
    return ("skipped",) if task.state == "skipped" else ()


def _totals(due: Due, sheet: Sheet, everything: bool) -> list[str]:
    lines = [to_do(due)]
    if due.likely is not None:
        lines.append(f"By the record: {usual(due.likely)}")
    shows_all = "" if everything else f" {SHOWS_ALL}"
    if _waiting(due):
        lines.append(f"May wait: {_amount(_waiting(due))}{shows_all}")
    undone = [one for one in _waiting(due) if one.undone is not None]
    if undone and not everything:
        words = [f"{safe(one.title)} ({', '.join(_undone(one, due))})" for one in undone]
        lines.append(f"Not done in a long time: {listed_words(words)}")
    if due.done:
        done = [task for task in due.done if task.state == "done"]
        skipped = len(due.done) - len(done)
        words = [_amount(done)] if done else []
        words += [f"{skipped} skipped"] if skipped else []
        lines.append(f"{sheet.mark('Done', DONE)}: {', '.join(words)}{shows_all}")
    if due.silenced and not _is_off(due):
        titles = ", ".join(safe(task.title) for task in due.silenced)
        lines.append(f"Not asked, as nobody is there to do it: {titles}")
    return [wrap(line, 2, sheet.width).replace(HIDDEN_BLANK, " ") for line in lines]


def to_do(due: Due) -> str:
    """What must be done on the day, in minutes; or that nothing is asked or left."""
    if due.late or due.today or _waiting(due):
        return f"To do: {_must(due)}"
    return "Nothing is asked on this day." if _is_off(due) else "Nothing is left for this day."


def _is_off(due: Due) -> bool:
    """True if the household, or the person asked about, is away or rests."""
    return any(one.person in (None, due.person) for one in due.absent)


def _amount(tasks: Sequence[Task]) -> str:
    minutes = duration(sum((task.minutes or 0) * task.shares for task in tasks if not task.is_open))
    left = duration(sum(task.total for task in tasks if task.is_open))
    return f"{counted(len(tasks), 'chore', 'chores')}, {left if tasks[0].is_open else minutes}"


def _must(due: Due) -> str:
    must = [*due.late, *due.today]
    if not must:
        return "nothing that cannot wait"
    unknown = sum(task.minutes is None for task in must)
    timed = total(due.minutes, due.limit, due.shared_minutes) if unknown < len(must) else ""
    without = f"{counted(unknown, 'chore', 'chores')} without minutes" if unknown else ""
    return ", and ".join(filter(None, (timed, without)))


def _picked(pick: Pick) -> list[Task]:
    return [one.task for one in pick.picked]


def listed_picked(pick: Pick, day: date, sheet: Sheet) -> tuple[list[Listed], list[Listed]]:
    """What was picked, and what is left for later and why."""
    head = f"In {duration(pick.minutes)}"
    picked = [Listed(task, _when(task, day, sheet), head) for task in _picked(pick)]
    left = [Listed(one.task, _why(one, pick, sheet), "Left for later") for one in pick.left]
    return picked, left


def together(pick: Pick) -> str:
    """The minutes of what was picked; or that nothing fits or is left."""
    if not pick.picked and not pick.left:
        return "Nothing is left for this day."
    given = duration(pick.minutes)
    return (
        f"Together: {duration(pick.used)} of {given}"
        if pick.picked
        else f"Nothing fits in {given}."
    )


def _pick(due: Due, pick: Pick, sheet: Sheet, steps: bool) -> list[str]:
    picked, left = listed_picked(pick, due.day, sheet)
    lines = task_lines(picked, sheet, due.person, steps=steps)
    lines += ["", together(pick)]
    return lines + task_lines(left, sheet, due.person, names=False)


def _when(task: Task, day: date, sheet: Sheet) -> tuple[str, ...]:
    """How late a task is, or until when it may wait."""
    if task.state == "overdue":
        return (lateness(task, sheet),)
    return (until(task),) if task.spare or (task.last_asked or task.last) > day else ()


def _why(left: Left, pick: Pick, sheet: Sheet) -> tuple[str, ...]:
    """Why a task is left for later, and how late it is already."""
    notes = [lateness(left.task, sheet)] if left.task.state == "overdue" else []
    if left.minutes is None:
        return (*notes, "its minutes are not known")
    notes.append(f"needs {duration(left.minutes)}")
    if left.reason == "too-long":
        notes.append(f"there are {duration(pick.minutes)}")
    elif left.apart_from is not None:
        notes.append(_apart(left))
    else:
        notes.append(f"{duration(pick.rest)} left" if pick.rest else "none left")
    return tuple(notes)


def _apart(left: Left) -> str:
    """From which chore a task must be kept apart."""
    if left.apart_from == left.task.chore:
        return "uses two things that must never meet"
    return f"never on one day with {safe(left.apart_from or '')}"

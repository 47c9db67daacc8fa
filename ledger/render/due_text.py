"""The list of the day as text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import groupby
from typing import TYPE_CHECKING

from ledger.render.layout import (
    DONE,
    HIDDEN_BLANK,
    LATE,
    PLAIN,
    Sheet,
    in_one_line,
    long_day,
    short_day,
    wrap,
)
from ledger.render.tasks_text import (
    INDENT,
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
    planned,
    task_lines,
    total,
    until,
    usual,
)
from ledger.report.due import Due
from ledger.report.lists import LetGo
from ledger.report.task import Task
from ledger.text.shown import safe
from ledger.text.words import counted, duration
from ledger.text.words import listed as listed_words

if TYPE_CHECKING:
    from ledger.report.pick import Left, Pick, Picked

LEFT = "Left for later"
"""The heading of what was not picked."""
FEW = 3
"""So many chores to let go are named."""
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
    listed += [Listed(one, _said_of(one, due), safe(one.container)) for one in due.today]
    listed += [Listed(one, _said_of(one, due, sheet), late) for one in due.late]
    if everything:
        listed += [
            Listed(one, (*planned(one), *_said_of(one, due, sheet)), "Late, on a later day")
            for one in due.waiting
        ]
        listed += [Listed(one.task, _again(one, due, sheet), "Let go") for one in due.let_go]
        listed += [
            Listed(one, (*planned(one), until(one), *_undone(one, due)), "May wait")
            for one in due.may_wait
        ]
        done = sheet.mark("Done", DONE)
        listed += [Listed(one, _settled(one), done) for one in due.done]
    elif not due.late and not due.today and not _waiting(due):
        listed += listed_waiting(due.may_wait, "If there is time")
    return listed


def _said_of(task: Task, due: Due, sheet: Sheet | None = None) -> tuple[str, ...]:
    """How late a task is, or until when it may wait, and how long ago it was last done."""
    notes = () if sheet is None else (lateness(task, sheet),)
    if task.state == "due" and (task.last_asked or task.last) > due.day:
        notes = (until(task),)
    return (*notes, *_undone(task, due))


def _again(one: LetGo, due: Due, sheet: Sheet) -> tuple[str, ...]:
    """How late a task is, and when it comes round again."""
    return (*_said_of(one.task, due, sheet), f"again on {short_day(one.again)}")


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
    later = [f"late, on a later day: {_amount(due.waiting)}"] if due.waiting else []
    later += [f"may wait: {_amount(_waiting(due))}"] if _waiting(due) else []
    if later:
        told = "; ".join(later)
        lines.append(f"{told[0].upper()}{told[1:]}{shows_all}")
    lines += _let_go(due, shows_all)
    hidden = [*due.waiting, *(one.task for one in due.let_go), *_waiting(due)]
    undone = [one for one in hidden if one.undone is not None]
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


def _let_go(due: Due, shows_all: str) -> Iterator[str]:
    """What may be let go, and when it comes round again: a line a day for few, else one line."""
    ordered = sorted(due.let_go, key=lambda one: one.again)
    if len(ordered) > FEW:
        last = _day_and_month(ordered[-1].again)
        yield f"Let go: {_amount([one.task for one in ordered])}, all again by {last}{shows_all}"
        return
    for again, some in groupby(ordered, lambda one: one.again):
        titles = [safe(one.task.title) for one in some]
        words = "comes round again" if len(titles) == 1 else "come round again"
        yield f"Let go: {', '.join(titles)}; {words} on {_day_and_month(again)}"


def _day_and_month(day: date) -> str:
    return long_day(day).rsplit(" ", 1)[0]


def to_do(due: Due) -> str:
    """What must be done on the day, in minutes; or that nothing is asked or left."""
    if due.late or due.today or due.waiting or due.let_go or _waiting(due):
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
        return "nothing on this day"
    unknown = sum(task.minutes is None for task in must)
    timed = total(due.minutes, due.limit, due.shared_minutes) if unknown < len(must) else ""
    without = f"{counted(unknown, 'chore', 'chores')} without minutes" if unknown else ""
    return ", and ".join(filter(None, (timed, without)))


def _picked(pick: Pick) -> list[Task]:
    return [one.task for one in pick.picked]


def listed_picked(pick: Pick, day: date, sheet: Sheet) -> list[Listed]:
    """What was picked."""
    head = f"In {duration(pick.minutes)}"
    return [Listed(one.task, _notes(one, day, sheet), head) for one in pick.picked]


def left_lines(pick: Pick, columns: int) -> list[str]:
    """What is left for later: a line for each reason, with as many chores as fit in it, vital ones
    first."""
    left = sorted(pick.left, key=lambda one: not one.task.vital)
    heads = {
        "No time for": ["no-room"],
        f"Longer than {duration(pick.minutes)}": ["too-long"],
        "Minutes not known": ["unknown"],
        "Must wait": ["after", "apart"],
    }
    rows = ((head, [one for one in left if one.reason in heads[head]]) for head in heads)
    return [in_one_line(head, [_left(one) for one in some], columns) for head, some in rows if some]


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
    lines = task_lines(listed_picked(pick, due.day, sheet), sheet, due.person, steps=steps)
    lines += ["", together(pick)]
    left = left_lines(pick, sheet.width - len(INDENT))
    return [*lines, *(["", LEFT] if left else []), *(INDENT + line for line in left)]


def _notes(one: Picked, day: date, sheet: Sheet) -> tuple[str, ...]:
    """How late a task is, or until when it may wait; and what others have to do before it."""
    task = one.task
    notes = []
    if task.state == "overdue":
        notes.append(lateness(task, sheet))
    elif task.spare or (task.last_asked or task.last) > day:
        notes.append(until(task))
    notes += (f"once {safe(name)} is done" for name in one.once_done)
    return tuple(notes)


def _left(left: Left) -> str:
    """A task that is left, with its minutes, and what it must wait for."""
    needed = "" if left.minutes is None else f" {duration(left.minutes)}"
    notes = ["vital"] if left.task.vital else []
    if left.after is not None:
        notes.append(f"after {safe(left.after)}")
    if left.apart_from is not None:
        notes.append(_apart(left))
    said = f" ({', '.join(notes)})" if notes else ""
    return f"{safe(left.task.title)}{needed}{said}"


def _apart(left: Left) -> str:
    """From which chore a task must be kept apart."""
    if left.apart_from == left.task.chore:
        return "uses two things that must never meet"
    return f"never on one day with {safe(left.apart_from or '')}"

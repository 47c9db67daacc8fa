"""The week as text."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from ledger.render.layout import DONE, LATE, PLAIN, Sheet, long_day, paragraph, short_day, wrap
from ledger.render.rows import row_lines
from ledger.render.tasks_text import (
    INDENT,
    KEPT,
    Listed,
    absence_lines,
    apart_lines,
    container_line,
    heading_for,
    lateness,
    listed_waiting,
    mind_lines,
    planned,
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
    from ledger.report.apart import KeptApart

LateWords = Callable[[Task, Sheet], str]
LET_GO = "Let go, as it comes round again soon"
"""The heading of what is late and is not asked for any more."""


def week_text(week: Week, sheet: Sheet = PLAIN) -> str:
    """Seven days with what each holds, for people: a line for each day that is past, and a list for
    each other."""
    when = f"Week of {long_day(week.days[0].day)} to {long_day(week.days[-1].day)}"
    lines = [heading_for(sheet, when, week.household, week.person, week.area)]
    if week.kept_from is not None:
        lines.append(wrap(KEPT, 2, sheet.width))
    past = [day for day in week.days if day.day < week.on]
    to_come = [day for day in week.days if day.day >= week.on]
    over = over_words(week, sheet)
    if over:
        lines.append(wrap(over, 2, sheet.width))
    if past:
        rows = [_past(day, sheet) for day in past]
        lines += ["", *row_lines(rows, sheet.width, headers=PAST)]
    for day in to_come:
        lines += ["", *_day(day, week, sheet)]
    lines += task_lines(beyond(week, sheet), sheet, week.person, names=False)
    left = _left("Left of this week", week.left, week.likely)
    lines += ["", wrap(left, 2, sheet.width)]
    lines += mind_lines(*listed_with(week), sheet)
    return "\n".join(lines) + "\n"


def beyond(week: Week, sheet: Sheet, late: LateWords = lateness) -> list[Listed]:
    """What is open in the week and on none of its days: what may wait, then what is late. `late`
    has the words for that."""
    overdue = [task for task in week.may_wait if task.state == "overdue"]
    listed = listed_waiting(
        (task for task in week.may_wait if task.state != "overdue"), "May wait beyond this week"
    )
    listed += [
        Listed(task, (*planned(task), late(task, sheet)), "Late, after this week")
        for task in overdue
        if task.chore not in week.let_go
    ]
    return listed + [
        Listed(task, (late(task, sheet),), LET_GO) for task in overdue if task.chore in week.let_go
    ]


def listed_with(week: Week) -> tuple[list[Task], list[KeptApart]]:
    """What is open in a list of a week from the day asked about on, also on none of its days, and
    what that list keeps apart."""
    days = [day for day in week.days if day.day >= week.on]
    tasks = [*(task for day in days for task in day.tasks), *week.may_wait]
    return [task for task in tasks if task.is_open], [one for day in days for one in day.apart]


def over_words(week: Week, sheet: Sheet) -> str:
    """By how much the days to come are over their limits; empty if none is."""
    days = [day for day in week.days if day.over and day.day >= week.on]
    words = ", ".join(f"{short_day(day.day)[:3]} {duration(day.over)}" for day in days)
    return f"{sheet.mark('Over', LATE)}: {words}" if days else ""


def listed_of_day(
    day: WeekDay, week: Week, sheet: Sheet, late: LateWords = lateness
) -> list[Listed]:
    """The tasks of a day with what is said of each. `late` has the words for what is late."""
    return [
        Listed(
            task,
            (late(task, sheet),) if task.state == "overdue" else _notes(task, day, week, sheet),
        )
        for task in day.tasks
    ]


PAST = ("", "planned", "done", "")
"""The headers of the days that are past: minutes as the book says, and as they came."""


def _past(day: WeekDay, sheet: Sheet) -> tuple[str, ...]:
    """A past day: its minutes as planned and as they came, and how many chores ended how."""
    states = [task.state for task in day.tasks]
    words = [*absence_lines(day.absent, sheet)]
    for state in ("done", "skipped", "missed"):
        if state in states:
            number = f"{states.count(state)} {state}"
            words.append(sheet.mark(number, DONE) if state == "done" else number)
    real = duration(day.real) if "done" in states else ""
    return short_day(day.day), duration(day.minutes), real, ", ".join(words)


def _left(what: str, spent: int, likely: Quartiles | None) -> str:
    """What is still to be done, and how long that takes by the record."""
    record = f"; by the record {usual(likely)}" if likely else ""
    return f"{what}: {duration(spent)}{record}"


def _day(day: WeekDay, week: Week, sheet: Sheet) -> list[str]:
    name = long_day(day.day).rsplit(" ", 1)[0]
    is_on = day.day == week.on and week.kept_from is None
    mark = " (this day)" if is_on else ""
    lines = _ends(name + mark, total(day.minutes, day.limit, day.shared_minutes), sheet)
    lines += absence_lines(day.absent, sheet, INDENT)
    lines += apart_lines(day.apart, sheet, INDENT)
    lines += container_line(day.containers, sheet, INDENT)
    lines += task_lines(listed_of_day(day, week, sheet), sheet, week.person, names=False)
    if is_on and day.left < day.minutes:
        left = _left("Left to do", day.left, day.likely)
        lines.append(paragraph(left, INDENT, sheet.width))
    elif is_on and day.likely:
        lines.append(paragraph(f"By the record: {usual(day.likely)}", INDENT, sheet.width))
    return lines


def _ends(left: str, right: str, sheet: Sheet) -> list[str]:
    """A line with one text at its beginning and another at its end; two lines without room."""
    blanks = sheet.width - width(left) - width(right)
    if blanks >= 2:
        return [left + " " * blanks + right]
    return [left, paragraph(right, INDENT, sheet.width)]


def _notes(task: Task, day: WeekDay, week: Week, sheet: Sheet) -> tuple[str, ...]:
    """What is said of a task that is not late."""
    if task.state == "due":
        notes = [
            _carried(task, week),
            until(task) if (task.last_asked or task.last) > day.day else "",
        ]
        return tuple(filter(None, notes))
    if task.state == "done" and task.settled is not None:
        late, early = (task.settled - task.last).days, (task.first - task.settled).days
        words = "done"
        if late > 0 or early > 0:
            off = counted(max(late, early), "day", "days")
            words = f"done {off} {'late' if late > 0 else 'early'}"
        return (sheet.mark(words, DONE),)
    return (task.state,)


def _carried(task: Task, week: Week) -> str:
    """Since when a task is left over, if its window opened on an earlier day of this week and is
    shorter than a week."""
    opened = week.days[0].day <= task.first < week.on
    is_short = (task.last - task.first).days < len(week.days) - 1
    return f"left from {short_day(task.first)}" if opened and is_short else ""

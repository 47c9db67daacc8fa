"""The list of the day as tables."""

from __future__ import annotations

from ledger.render.layout import long_day
from ledger.render.table import Cell, Table
from ledger.render.tasks_tables import TASK_HEADERS, caution_table, task_cells
from ledger.render.tasks_text import heading_for
from ledger.report.due import Due


def due_tables(due: Due) -> list[Table]:
    """A row a task, of a pick with what it is counted as and why it is left; then the minutes
    of the day, and what to mind."""
    name = heading_for(long_day(due.day), due.household, due.person, due.area)
    return [_tasks(due, name), _minutes(due), caution_table(due.cautions)]


def _tasks(due: Due, name: str) -> Table:
    if due.pick is None:
        lists = (("late", due.late), ("today", due.today), ("may wait", due.may_wait),
                 ("done", due.done))  # fmt: skip
        rows = [(due.day, which, *task_cells(task)) for which, tasks in lists for task in tasks]
        return Table(name, ("day", "list", *TASK_HEADERS), rows)
    picked = [
        (due.day, "picked", *task_cells(one.task), one.minutes, None) for one in due.pick.picked
    ]
    left = [
        (due.day, "left", *task_cells(one.task), one.minutes, one.reason.replace("-", " "))
        for one in due.pick.left
    ]
    return Table(name, ("day", "list", *TASK_HEADERS, "counted", "why left"), [*picked, *left])


def _minutes(due: Due) -> Table:
    rows: list[tuple[Cell, ...]] = [
        ("to do", due.minutes),
        ("limit", due.limit),
        ("may wait", due.may_wait_minutes),
    ]
    if due.likely:
        rows += [("to do by the record, from", due.likely.low), ("to", due.likely.high)]
    if due.pick:
        rows += [("minutes there are", due.pick.minutes), ("picked", due.pick.used)]
    return Table("Minutes", ("what", "minutes"), rows)

"""The list of the day as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ledger.render.layout import PLAIN, long_day
from ledger.render.table import Cell, Table
from ledger.render.tasks_tables import (
    SAFETY_HEADERS,
    TASK_HEADERS,
    hidden_rows,
    safety_cells,
    task_cells,
)
from ledger.render.tasks_text import heading_for
from ledger.report.due import Due
from ledger.report.task import Task

if TYPE_CHECKING:
    from ledger.report.pick import Left


def due_tables(due: Due) -> list[Table]:
    """A row for each task; of a pick also its minutes and why it is left."""
    name = heading_for(PLAIN, long_day(due.day), due.household, due.person, due.area)
    return [_tasks(due, name)]


def _tasks(due: Due, name: str) -> Table:
    listed: list[tuple[str, Task, tuple[Cell, ...]]]
    more: tuple[str, ...] = ()
    if due.pick is None:
        let_go = tuple(one.task for one in due.let_go)
        lists = (("nobody there", due.nobody_there), ("late", due.late), ("today", due.today),
                 ("waiting", due.waiting), ("let go", let_go), ("may wait", due.may_wait),
                 ("done", due.done))  # fmt: skip
        listed = [(which, task, ()) for which, tasks in lists for task in tasks]
    else:
        listed = [("picked", one.task, (one.minutes, None)) for one in due.pick.picked]
        listed += [("left", one.task, (one.minutes, _reason(one))) for one in due.pick.left]
        more = ("counted", "why left")
    rows: list[tuple[Cell, ...]] = [
        (due.day, which, *task_cells(task), *cells, *safety_cells(task, due.apart))
        for which, task, cells in listed
    ]
    hidden = hidden_rows(
        (due.day, "not listed"), [task for _, task, _ in listed], due.apart, (None,) * len(more)
    )
    headers = ("day", "list", *TASK_HEADERS, *more, *SAFETY_HEADERS)
    return Table(name, headers, rows + hidden)


def _reason(left: Left) -> str:
    if left.apart_from is not None:
        return f"never on one day with {left.apart_from}"
    if left.after is not None:
        return f"after {left.after}"
    return left.reason.replace("-", " ")

"""The week as tables."""

from __future__ import annotations

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
from ledger.report.week import Week


def week_tables(week: Week) -> list[Table]:
    """A row for each task with its day, which is empty for what may wait beyond the week."""
    when = f"Week of {long_day(week.days[0].day)}"
    name = heading_for(PLAIN, when, week.household, week.person, week.area)
    rows: list[tuple[Cell, ...]] = [
        (day.day, *task_cells(task), *safety_cells(task, day.apart))
        for day in week.days
        for task in day.tasks
    ]
    hidden = [row for day in week.days for row in hidden_rows((day.day,), day.tasks, day.apart)]
    headers = ("day", *TASK_HEADERS, *SAFETY_HEADERS)
    rows += [(None, *task_cells(task), *safety_cells(task, ())) for task in week.may_wait]
    return [Table(name, headers, rows + hidden)]

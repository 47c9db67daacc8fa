"""The week as tables."""

from __future__ import annotations

from ledger.render.layout import long_day
from ledger.render.table import Cell, Table
from ledger.render.tasks_tables import TASK_HEADERS, caution_table, task_cells
from ledger.render.tasks_text import heading_for
from ledger.report.week import Week


def week_tables(week: Week) -> list[Table]:
    """A row a task, with its day, which is empty for what may wait beyond the week; then a row
    a day, and what to mind."""
    when = f"Week of {long_day(week.days[0].day)}"
    name = heading_for(when, week.household, week.person, week.area)
    rows: list[tuple[Cell, ...]] = [
        (day.day, *task_cells(task)) for day in week.days for task in day.tasks
    ]
    rows += [(None, *task_cells(task)) for task in week.may_wait]
    return [
        Table(name, ("day", *TASK_HEADERS), rows),
        _days(week),
        caution_table(week.cautions),
    ]


def _days(week: Week) -> Table:
    headers = (
        "day", "away", "containers", "minutes", "limit", "left", "by the record, from", "to",
    )  # fmt: skip
    rows = []
    for day in week.days:
        low, high = (day.likely.low, day.likely.high) if day.likely else (None, None)
        away = "yes" if day.away == "" else day.away
        containers = "; ".join(day.containers)
        rows.append((day.day, away, containers, day.minutes, day.limit, day.left, low, high))
    return Table("Days", headers, rows)

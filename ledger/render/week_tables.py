"""The week as tables."""

from __future__ import annotations

from ledger.render.layout import PLAIN, long_day
from ledger.render.table import Cell, Table
from ledger.render.tasks_tables import (
    SAFETY_HEADERS,
    TASK_HEADERS,
    apart_tables,
    caution_table,
    hidden_rows,
    safety_cells,
    task_cells,
)
from ledger.render.tasks_text import heading_for
from ledger.report.week import Week


def week_tables(week: Week) -> list[Table]:
    """A row for each task with its day, which is empty for what may wait beyond the week. Then a
    row for each day, the cautions, and what must not be done on one day."""
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
    return [
        Table(name, headers, rows + hidden, (len(SAFETY_HEADERS), len(hidden))),
        _days(week),
        caution_table(week.cautions),
        *apart_tables([(day.day, day.apart) for day in week.days]),
    ]


def _days(week: Week) -> Table:
    headers = (
        "day", "away", "rest", "containers", "minutes", "limit", "left", "by the record, from",
        "to",
    )  # fmt: skip
    rows = []
    for day in week.days:
        low, high = (day.likely.low, day.likely.high) if day.likely else (None, None)
        absent = ("yes" if title == "" else title for title in (day.away, day.rest))
        containers = "; ".join(day.containers)
        rows.append((day.day, *absent, containers, day.minutes, day.limit, day.left, low, high))
    return Table("Days", headers, rows)

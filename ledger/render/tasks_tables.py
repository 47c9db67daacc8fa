"""Tasks and cautions as rows: what the tables of `due` and `week` share."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.household.things import LAST_WORD
from ledger.render.table import Cell, Table
from ledger.render.tasks_text import people
from ledger.report.task import Caution, Task

TASK_HEADERS = (
    "chore", "title", "container", "areas", "people", "minutes", "times", "lately", "state",
    "first", "last", "days late", "settled",
)  # fmt: skip
"""What `task_cells` holds; `times` is how many people each do it for `minutes`."""


def task_cells(task: Task) -> tuple[Cell, ...]:
    """A task as cells of a row, in the order of `TASK_HEADERS`."""
    return (
        task.chore,
        task.title,
        task.container,
        ", ".join(task.areas),
        people(task),
        task.minutes,
        task.shares,
        task.lately,
        task.state,
        task.first,
        task.last,
        task.days_late,
        task.settled,
    )


def caution_table(cautions: Sequence[Caution]) -> Table:
    """What to mind with each thing, and the last word after all of them."""
    last = [("all of these", LAST_WORD, "")] if cautions else []
    return Table("Mind", ("thing", "caution", "source"), [*cautions, *last])

"""Tasks and cautions as rows: what the tables of `due`, `week` and `chore` share."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ledger.render.table import Cell, Table
from ledger.render.tasks_text import apart_words, flags, people
from ledger.report.task import Caution, Task, cautions_of

if TYPE_CHECKING:
    from ledger.report.apart import KeptApart

TASK_HEADERS = (
    "chore", "title", "container", "areas", "people", "minutes", "times", "worked", "lately",
    "flags", "state", "first", "last", "days late", "settled",
)  # fmt: skip
"""The headers of `task_cells`; `times` is how many people do it for `minutes`, those left."""
MIND_HEADERS = ("caution", "source", "last word")
"""The headers of `mind_cells`."""
SAFETY_HEADERS = ("never on one day", *MIND_HEADERS)
"""The headers of `safety_cells`."""


def task_cells(task: Task) -> tuple[Cell, ...]:
    """A task as cells of a row, in the order of `TASK_HEADERS`."""
    return (
        task.chore,
        task.title,
        task.container,
        ", ".join(task.areas),
        people(task),
        task.left,
        task.shares,
        task.worked,
        task.lately,
        ", ".join(flags(task)),
        task.state,
        task.first,
        task.last,
        task.days_late,
        task.settled,
    )


def mind_cells(cautions: Sequence[Caution]) -> tuple[str, str, str]:
    """Cautions as cells: what to mind with each thing, the sources, and the last word."""
    if not cautions:
        return "", "", ""
    minded = "; ".join(f"{one.thing}: {one.caution}" for one in cautions)
    sources = "; ".join(f"{one.thing}: {one.source}" for one in cautions)
    return minded, sources, cautions[0].last_word


def safety_cells(task: Task, apart: Sequence[KeptApart]) -> tuple[str, ...]:
    """What a task must be kept apart from on its day, and what to mind with its things."""
    own = [one for one in apart if task.chore in one.chores]
    return (_never(own), *mind_cells(cautions_of([task])))


def _never(apart: Sequence[KeptApart]) -> str:
    return "; ".join(map(apart_words, apart))


def hidden_rows(
    first: tuple[Cell, ...],
    tasks: Sequence[Task],
    apart: Sequence[KeptApart],
    more: tuple[Cell, ...] = (),
) -> list[tuple[Cell, ...]]:
    """A row for each chore that must be kept apart but is not in the list of tasks; it says only
    that. `first` are the cells before those of the task, `more` those after."""
    shown = {task.chore for task in tasks}
    hidden: dict[str, list[KeptApart]] = {}
    for one in apart:
        for chore in one.chores:
            if chore not in shown:
                hidden.setdefault(chore, []).append(one)
    blank: tuple[Cell, ...] = (None,) * (len(TASK_HEADERS) - 1)
    return [
        (*first, chore, *blank, *more, _never(some), "", "", some[0].last_word)
        for chore, some in hidden.items()
    ]


def caution_table(cautions: Sequence[Caution]) -> Table:
    """What to mind with each thing, and the last word after all of them."""
    rows: list[tuple[Cell, ...]] = [(one.thing, one.caution, one.source) for one in cautions]
    rows += [("all of these", one.last_word, "") for one in cautions[:1]]
    return Table("Mind", ("thing", "caution", "source"), rows)

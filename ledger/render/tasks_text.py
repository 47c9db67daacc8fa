"""Tasks as lines of text: what `due` and `week` share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ledger.household.things import LAST_WORD
from ledger.render.layout import (
    WIDTH,
    columns,
    counted,
    fit,
    minutes,
    safe,
    short_day,
    wrap,
)
from ledger.report.task import Caution, Task
from ledger.text.width import width

INDENT = "  "
HIDDEN_BLANK = "\ue000"
"""A character of private use, which `safe` text of people has no use for."""


def task_lines(tasks: Sequence[Task], notes: Iterable[str], *, titles: bool = True) -> list[str]:
    """A line a task: name, minutes, areas, people, then its note and title as room allows."""
    rows = [
        (
            safe(task.chore),
            minutes(task.minutes) if task.minutes is not None else "-",
            safe(", ".join(task.areas)),
            safe(people(task)),
        )
        for task in tasks
    ]
    lines = []
    for task, line, note in zip(tasks, columns(rows, frozenset({1})), notes, strict=True):
        words = [note] if note else []
        if task.lately is not None:
            words.append(f"lately {minutes(task.lately)}")
        if titles and task.title != task.chore.replace("-", " "):
            words.append(safe(task.title))
        lines.append(_with_remarks(INDENT + line, words, _left_edge(rows)))
    return lines


def _left_edge(rows: Sequence[Sequence[str]]) -> int:
    """The column at which remarks begin, the same for all lines of a list."""
    return max(width(INDENT + line) for line in columns(rows, frozenset({1}))) + 2


def _with_remarks(line: str, remarks: Sequence[str], edge: int) -> str:
    if not remarks:
        return line
    line += " " * (edge - width(line))
    return line + fit(", ".join(remarks), max(WIDTH - edge, 12))


def people(task: Task) -> str:
    """Who does a task: one of some, or each of them; or who did it."""
    if task.done_by:
        return ", ".join(task.done_by)
    return (", " if task.each else " or ").join(task.people)


def lateness(task: Task) -> str:
    """How late a task is."""
    return f"{counted(task.days_late, 'day', 'days')} late"


def until(task: Task) -> str:
    """Until when a task may wait."""
    return f"until {short_day(task.last)}"


def total(spent: float, limit: int | None) -> str:
    """Minutes against a limit."""
    if limit is None:
        return minutes(spent)
    if spent > limit:
        return f"{minutes(spent)} of {minutes(limit)}, {minutes(spent - limit)} over"
    return f"{minutes(spent)} of {minutes(limit)}"


def container_line(containers: Sequence[str], indent: str = "") -> list[str]:
    """The containers to take out, broken between containers; nothing where there are none."""
    if not containers:
        return []
    label = f"{indent}Take out: "
    # Blanks inside a name are hidden from the wrapping, so that no name is broken.
    names = (safe(container).replace(" ", HIDDEN_BLANK) for container in containers)
    text = wrap("; ".join(names), len(label))
    return [label + text.replace(HIDDEN_BLANK, " ")]


def caution_lines(cautions: Sequence[Caution]) -> list[str]:
    """The cautions with their sources, and the last word after them."""
    if not cautions:
        return []
    edge = max(width(caution.thing) for caution in cautions) + 4
    lines = []
    for caution in cautions:
        head = (INDENT + caution.thing).ljust(edge)
        lines.append(head + wrap(f"{caution.caution} [{caution.source}]", edge))
    lines.append(INDENT + wrap(LAST_WORD, 2))
    return lines

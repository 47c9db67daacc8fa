"""Tasks as lines of text: what `due` and `week` share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from ledger.render.layout import (
    HIDDEN_BLANK,
    WIDTH,
    columns,
    fit,
    heading,
    short_day,
    wrap,
    wrap_whole,
)
from ledger.report.task import Caution, Task
from ledger.text.shown import safe
from ledger.text.width import width
from ledger.text.words import counted, duration

if TYPE_CHECKING:
    from ledger.planning.likely import Quartiles
    from ledger.report.apart import KeptApart
    from ledger.report.chore_lines import RoutineLine

INDENT = "  "
BELOW = "      "
"""The indent of remarks on a line of their own."""
LEAST_TITLE = 8
"""The fewest columns in which the start of a title says something."""


def task_lines(tasks: Sequence[Task], notes: Iterable[str], *, titles: bool = True) -> list[str]:
    """A line for each task: name, minutes, areas, people; note and title if there is room."""
    rows = [
        (
            safe(task.chore),
            _minutes(task),
            safe(", ".join(task.areas)),
            safe(people(task)),
        )
        for task in tasks
    ]
    edge = _left_edge(rows) if rows else 0
    lines = []
    for task, line, note in zip(tasks, columns(rows, frozenset({1})), notes, strict=True):
        facts = [note] if note else []
        if task.worked and task.minutes is not None:
            facts.append(f"{duration(task.worked)} of {duration(task.minutes)} worked")
        if task.lately is not None and task.state in ("due", "overdue"):
            facts.append(f"lately {duration(task.lately)}")
        has_title = titles and task.title != task.chore.replace("-", " ")
        lines.append(
            _with_remarks(INDENT + line, facts, safe(task.title) if has_title else "", edge)
        )
    return lines


def _minutes(task: Task) -> str:
    """Minutes left of those declared. If several people do that much, their number comes first."""
    if task.left is None:
        return "-"
    times = f"{task.shares} × " if task.shares > 1 and task.left else ""
    return times + duration(task.left)


def _left_edge(rows: Sequence[Sequence[str]]) -> int:
    """The column at which remarks begin, the same for all lines of a list."""
    return max(width(INDENT + line) for line in columns(rows, frozenset({1}))) + 2


def _with_remarks(line: str, facts: Sequence[str], title: str, edge: int) -> str:
    """The line with its remarks after it, or below it if there is no room.

    Facts are never cut, and may take a second line. The title is cut to the room that is left.
    """
    whole = ", ".join(facts).replace(" ", HIDDEN_BLANK).replace(f",{HIDDEN_BLANK}", ", ")
    broken = wrap(whole, edge).split("\n")
    below = len(broken) > 2 or edge + max(width(part.strip()) for part in broken) > WIDTH
    if below:
        edge, broken = len(BELOW), [whole]
    text = "\n".join(broken).replace(HIDDEN_BLANK, " ")
    room = WIDTH - edge - width(broken[-1].strip()) - (2 if text else 0)
    if title and room >= LEAST_TITLE:
        text += (", " if text else "") + fit(title, room)
    if not text:
        return line
    return f"{line}\n{BELOW}{text}" if below else line + " " * (edge - width(line)) + text


def people(task: Task) -> str:
    """Who does a task (one of some, or all of them), or who did it."""
    if task.done_by:
        return ", ".join(task.done_by)
    return (", " if task.each else " and " if task.together else " or ").join(task.people)


def flags(one: Task | RoutineLine) -> list[str]:
    """What a task or a line of the routine is, in the words of the book."""
    said = {"vital": one.vital, "expires": one.expires, "spare": one.spare}
    return [flag for flag, is_said in said.items() if is_said]


def lateness(task: Task) -> str:
    """How late a task is."""
    return f"{counted(task.days_late, 'day', 'days')} late"


def until(task: Task) -> str:
    """The last day to which a task may wait; a spare one need not be done at all."""
    day = f"until {short_day(task.last_asked or task.last)}"
    return f"spare, {day}" if task.spare else day


def usual(likely: Quartiles) -> str:
    """The range of the middle half of some totals."""
    low, high = duration(likely.low), duration(likely.high)
    return f"about {low}" if low == high else f"{low} to {high}"


def heading_for(when: str, household: str | None, person: str | None, area: str | None) -> str:
    """The heading of a list: its days, the household, the person and the area."""
    for_whom = None if person is None else f"for {person}"
    return heading(when, household, for_whom, None if area is None else f"in {area}")


def total(spent: float, limit: int | None) -> str:
    """Minutes against a limit."""
    if limit is None:
        return duration(spent)
    if spent > limit:
        return f"{duration(spent)} of {duration(limit)}, {duration(spent - limit)} over"
    return f"{duration(spent)} of {duration(limit)}"


def absence_lines(away: str | None, rest: str | None, indent: str = "") -> list[str]:
    """That a day is one away, or one of rest, and why; no line on other days."""
    lines = []
    for word, title in (("Away", away), ("Rest", rest)):
        if title is not None:
            lines.append(f"{indent}{word}: {safe(title)}" if title else f"{indent}{word}")
    return lines


def container_line(containers: Sequence[str], indent: str = "") -> list[str]:
    """The containers to take out, broken between containers; no line if there are none."""
    if not containers:
        return []
    label = f"{indent}Take out: "
    return [label + wrap_whole([safe(one) for one in containers], "; ", len(label))]


def apart_lines(apart: Sequence[KeptApart], indent: str = "") -> list[str]:
    """What must not be done on one day, and who says so; no line if there is nothing."""
    if not apart:
        return []
    hanging = len(indent + INDENT) + 2
    lines = (f"{indent}{INDENT}{wrap(safe(apart_words(one)), hanging)}" for one in apart)
    return [f"{indent}Never on one day", *lines]


def apart_words(one: KeptApart) -> str:
    """Which chores must not be done on one day, where, why, and who says so."""
    first, second = one.things
    if len(one.chores) == 1:
        who = f"{one.chores[0]} ({first} and {second})"
    else:
        who = f"{one.chores[0]} ({first}) and {one.chores[1]} ({second})"
        who += f", both in {' and '.join(one.areas)}" if one.areas else ""
    return f"{who}: the two {one.gives} [{one.source}]"


def mind_lines(cautions: Sequence[Caution], apart: Sequence[KeptApart]) -> list[str]:
    """The end of a list: its cautions. Without any, the last word on what must be kept apart."""
    if cautions:
        return ["", "Mind", *caution_lines(cautions)]
    return ["", wrap(apart[0].last_word, 0)] if apart else []


def caution_lines(cautions: Sequence[Caution]) -> list[str]:
    """The cautions with their sources, and the last word after them."""
    if not cautions:
        return []
    edge = max(width(caution.thing) for caution in cautions) + 4
    lines = []
    for caution in cautions:
        head = (INDENT + caution.thing).ljust(edge)
        lines.append(head + wrap(f"{caution.caution} [{caution.source}]", edge))
    lines.append(INDENT + wrap(cautions[0].last_word, 2))
    return lines

"""Tasks as lines of text: what `due` and `week` share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from ledger.render.layout import (
    LATE,
    VITAL,
    Sheet,
    heading,
    paragraph,
    short_day,
    wrap,
    wrap_advice,
    wrap_whole,
)
from ledger.render.rows import row_blocks
from ledger.report.task import Caution, Task, cautions_of
from ledger.text.shown import safe
from ledger.text.width import width
from ledger.text.words import counted, duration, long_time

if TYPE_CHECKING:
    from ledger.planning.likely import Quartiles
    from ledger.report.apart import KeptApart
    from ledger.report.chore_lines import RoutineLine
    from ledger.report.scope import Absent
    from ledger.report.undone import Undone

INDENT = "  "
KEPT = "All that comes before is taken as done."
"""What an answer for days to come assumes."""


class Listed(NamedTuple):
    """A task of a list: what is said of it, and the heading that it stands below, as it is
    shown."""

    task: Task
    notes: tuple[str, ...] = ()
    heading: str = ""


def task_lines(
    listed: Sequence[Listed],
    sheet: Sheet,
    person: str | None = None,
    *,
    names: bool = True,
    steps: bool = False,
) -> list[str]:
    """Each task with its title, minutes, people and notes, below its heading; with `names`, its
    name where the title does not show it; with `steps`, its steps too. The list of one `person`
    names others only where they may do it as well."""
    rows = [
        (called(one.task) if names else safe(one.task.title), *task_cells(one, sheet, person))
        for one in listed
    ]
    blocks = zip(listed, row_blocks(rows, sheet.width, INDENT, {1}), strict=True)
    lines: list[str] = []
    for name, group in groupby(blocks, lambda pair: pair[0].heading):
        lines += ["", wrap(name, 2, sheet.width)] if name else []
        for one, block in group:
            lines += block
            if steps:
                lines += (
                    paragraph(f"- {safe(step)}", " " * 6, sheet.width) for step in one.task.steps
                )
    return lines


def task_cells(one: Listed, sheet: Sheet, person: str | None) -> tuple[str, str, str]:
    """The minutes, the people and the notes of a task."""
    notes = [*one.notes, *_facts(one.task, person, sheet)]
    return _minutes(one.task), safe(_who(one.task, person)), ", ".join(notes)


def listed_waiting(tasks: Iterable[Task], heading: str) -> list[Listed]:
    """Tasks that may wait, each with the day for which it is planned and the day to which."""
    return [Listed(task, (*planned(task), until(task)), heading) for task in tasks]


def planned(task: Task) -> tuple[str, ...]:
    """The day for which a task is planned, if it has one."""
    return () if task.planned is None else (f"planned {short_day(task.planned)}",)


def called(task: Task) -> str:
    """The title of a task, and in brackets its name where other words make the title."""
    title, name = safe(task.title), safe(task.chore)
    words = task.chore.replace("-", " ").casefold()
    return title if task.title.casefold() in (words, task.chore.casefold()) else f"{title} ({name})"


def _who(task: Task, person: str | None) -> str:
    if person is None:
        return people(task)
    if task.is_shared:
        return people(task) or "anyone"
    return people(task) if task.together or task.done_by else ""


def _facts(task: Task, person: str | None, sheet: Sheet) -> Iterable[str]:
    if task.vital:
        yield sheet.mark("vital", VITAL)
    if person is not None and task.is_open and task.is_shared and task.proposed != person:
        yield "shared"
    if task.expected:
        yield "expected"
    if task.worked and task.minutes is not None:
        yield f"{duration(task.worked)} of {duration(task.minutes)} worked"
    if task.lately is not None and task.is_open:
        yield f"lately {duration(task.lately)}"


def _minutes(task: Task) -> str:
    """Minutes left of those declared. If several people do that much, their number comes first."""
    if task.left is None:
        return "-"
    times = f"{task.shares} × " if task.shares > 1 and task.left else ""
    return times + duration(task.left)


def people(task: Task) -> str:
    """Who does a task (one of some, or all of them), or who did it."""
    if task.done_by:
        return ", ".join(task.done_by)
    if task.proposed is None:
        return (", " if task.each else " and " if task.together else " or ").join(task.people)
    if task.people == (task.proposed,):
        return task.proposed
    others = [name for name in task.people if name != task.proposed]
    return f"{task.proposed} (or {' or '.join(others) or 'anyone'})"


def flags(one: Task | RoutineLine) -> list[str]:
    """What a task or a line of the routine is, in the words of the book."""
    said = {"vital": one.vital, "expires": one.expires, "spare": one.spare}
    return [flag for flag, is_said in said.items() if is_said]


def lateness(task: Task, sheet: Sheet) -> str:
    """How late a task is."""
    return sheet.mark(f"{counted(task.days_late, 'day', 'days')} late", LATE)


def late_from(task: Task, sheet: Sheet) -> str:
    """The last day on which a task was in time: true on paper on any day."""
    return sheet.mark(f"late from {short_day(task.last)}", LATE)


def last_done(undone: Undone, on: date) -> str:
    """How long ago a chore was last done that was not done for long."""
    time = long_time((on - undone.since).days)
    return f"last done {time} ago" if undone.was_done else f"not done in {time}"


def until(task: Task) -> str:
    """The last day to which a task may wait; a spare one need not be done at all."""
    day = f"until {short_day(task.last_asked or task.last)}"
    return f"spare, {day}" if task.spare else day


def usual(likely: Quartiles) -> str:
    """The range of the middle half of some totals."""
    low, high = duration(likely.low), duration(likely.high)
    return f"about {low}" if low == high else f"{low} to {high}"


def heading_for(
    sheet: Sheet, when: str, household: str | None, person: str | None, area: str | None
) -> str:
    """The heading of a list: its days, the household, the person and the area."""
    for_whom = None if person is None else f"for {person}"
    return heading(sheet, when, household, for_whom, None if area is None else f"in {area}")


def total(spent: float, limit: int | None, shared: int = 0) -> str:
    """Minutes against a limit; `shared` are those of them that another person may take over, which
    do not count against it."""
    own = spent - shared
    words = duration(own) if limit is None else f"{duration(own)} of {duration(limit)}"
    if limit is not None and own > limit:
        words += f", {duration(own - limit)} over"
    return f"{words}; shared: {duration(shared)}" if shared else words


def absence_lines(absent: Sequence[Absent], sheet: Sheet, indent: str = "") -> list[str]:
    """Who is away and who rests, and why, in one line; no line where all are there."""
    kinds = []
    for keyword, some in groupby(absent, lambda one: one.keyword):
        names = []
        for title, same in groupby(some, lambda one: one.title):
            who = ", ".join(one.person or "everyone" for one in same)
            names.append(safe(f"{who} ({title})" if title else who))
        kinds.append(f"{keyword}: {', '.join(names)}")
    words = "; ".join(kinds)
    return [paragraph(words[0].upper() + words[1:], indent, sheet.width)] if words else []


def container_line(containers: Sequence[str], sheet: Sheet, indent: str = "") -> list[str]:
    """The containers to take out, broken between containers; no line if there are none."""
    if not containers:
        return []
    parts = [safe(one) for one in containers]
    parts[0] = f"{indent}Take out: {parts[0]}"
    return [wrap_whole(parts, "; ", len(indent) + 4, sheet.width)]


def apart_lines(apart: Sequence[KeptApart], sheet: Sheet, indent: str = "") -> list[str]:
    """What must not be done on one day, and who says so; no line if there is nothing."""
    if not apart:
        return []
    lines = (paragraph(safe(apart_words(one)), indent + INDENT, sheet.width) for one in apart)
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


def mind_lines(tasks: Iterable[Task], apart: Sequence[KeptApart], sheet: Sheet) -> list[str]:
    """The end of a list: which of its things to mind and with what, what always comes first, and
    what tells more. Without any, the last word on what must be kept apart."""
    tasks = list(tasks)
    cautions = cautions_of(tasks)
    if not cautions:
        return ["", wrap(apart[0].last_word, 0, sheet.width)] if apart else []
    things = ", ".join(_thing_and_tasks(one.thing, tasks) for one in cautions)
    more = f"More: `besom explain {cautions[0].thing}`."
    return ["", wrap_advice(f"Mind: {things}. {cautions[0].last_word} {more}", 2, sheet.width)]


def _thing_and_tasks(thing: str, tasks: Sequence[Task]) -> str:
    """A thing, with the first task that uses it and how many more do."""
    titles = list(dict.fromkeys(safe(task.title) for task in tasks if thing in task.things))
    more = f" and {len(titles) - 1} more" if len(titles) > 1 else ""
    return f"{thing} ({titles[0]}{more})" if titles else thing


def caution_lines(cautions: Sequence[Caution], sheet: Sheet) -> list[str]:
    """The cautions with their sources, and the last word after them."""
    if not cautions:
        return []
    edge = max(width(caution.thing) for caution in cautions) + 4
    lines = []
    for caution in cautions:
        head = (INDENT + caution.thing).ljust(edge)
        lines.append(head + wrap(f"{caution.caution} [{caution.source}]", edge, sheet.width))
    lines.append(INDENT + wrap(cautions[0].last_word, 2, sheet.width))
    return lines

"""The list of the day as a page to print, with boxes to tick."""

from __future__ import annotations

from ledger.render.as_markdown import escaped
from ledger.render.boxes import PAGE, boxes, mind_section, paragraphs
from ledger.render.due_text import LEFT, left_lines, listed_picked, listed_tasks, to_do, together
from ledger.render.layout import long_day
from ledger.render.tasks_text import KEPT, absence_lines, apart_lines, heading_for
from ledger.report.due import Due


def due_markdown(due: Due) -> str:
    """What a day asks for, a box a chore; those of done ones are ticked."""
    heading = heading_for(PAGE, long_day(due.day), due.household, due.person, due.area)
    if due.pick is None:
        listed, spent = listed_tasks(due, PAGE, everything=True), to_do(due)
        left: list[str] = []
    else:
        listed, spent = listed_picked(due.pick, due.day, PAGE), together(due.pick)
        left = [f"- {escaped(line)}" for line in left_lines(due.pick, PAGE.width)]
    lines = [f"# {escaped(heading)}", *paragraphs(absence_lines(due.absent, PAGE))]
    lines += paragraphs([KEPT] if due.kept_from is not None else [])
    lines += paragraphs(apart_lines(due.apart, PAGE))
    lines += [*boxes(listed, due.person), *paragraphs([spent])]
    lines += ["", f"## {LEFT}", "", *left] if left else []
    tasks = [one.task for one in listed if one.task.is_open]
    return "\n".join([*lines, *mind_section(tasks, due.apart)]) + "\n"

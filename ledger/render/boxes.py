"""Boxes: the tasks of a list as lines of Markdown to tick on paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from ledger.render.as_markdown import escaped
from ledger.render.layout import PLAIN, Sheet
from ledger.render.tasks_text import Listed, task_cells
from ledger.report.task import Task, cautions_of

if TYPE_CHECKING:
    from ledger.report.apart import KeptApart

PAGE = Sheet(width=10_000)
"""A page breaks its lines itself."""


def boxes(listed: Sequence[Listed], person: str | None, level: str = "##") -> list[str]:
    """A box for each task below its heading, with title, minutes, people and notes; ticked if the
    task is done."""
    lines = []
    for name, group in groupby(listed, lambda one: one.heading):
        lines += ["", f"{level} {escaped(name)}"] if name else []
        lines.append("")
        for one in group:
            tick = "x" if one.task.state == "done" else " "
            cells = task_cells(one, PLAIN, person)
            facts = ", ".join(cell for cell in cells if cell not in ("", "-"))
            more = f" ({escaped(facts)})" if facts else ""
            lines.append(f"- [{tick}] {escaped(one.task.title)}{more}")
    return lines


def mind_section(tasks: Iterable[Task], apart: Sequence[KeptApart]) -> list[str]:
    """What to mind with the things of some tasks, with the sources, and what comes before it all:
    paper cannot ask for more."""
    cautions, last_word = mind_texts(tasks, apart)
    lines = ["", "## Mind", ""] if cautions else []
    lines += (f"- {escaped(one)}" for one in cautions)
    return [*lines, *paragraphs([last_word])]


def mind_texts(tasks: Iterable[Task], apart: Sequence[KeptApart]) -> tuple[list[str], str]:
    """What to mind with the things of some tasks, with the sources, and what comes before it all;
    empty where there is nothing to mind."""
    cautions = cautions_of(tasks)
    last_words = [*(one.last_word for one in cautions), *(one.last_word for one in apart), ""]
    return [f"{one.thing}: {one.caution} [{one.source}]" for one in cautions], last_words[0]


def paragraphs(texts: Iterable[str]) -> list[str]:
    """Each text as a paragraph."""
    return [line for text in texts if text for line in ("", escaped(text.strip()))]

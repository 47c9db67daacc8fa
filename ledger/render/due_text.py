"""The list of the day as text."""

from __future__ import annotations

from ledger.render.layout import long_day, minutes, safe
from ledger.render.tasks_text import (
    caution_lines,
    container_line,
    lateness,
    task_lines,
    total,
    until,
)
from ledger.report.due import Due

MUCH = 2
"""Minutes by which a learned total must be off the declared one to be worth a word."""


def due_text(due: Due) -> str:
    """What a day asks for, for people, in 80 columns."""
    title = f", {safe(due.household)}" if due.household else ""
    lines = [f"{long_day(due.day)}{title}"]
    if due.away is not None:
        lines.append(f"Away: {safe(due.away)}" if due.away else "Away")
    lines += container_line(due.containers)
    for heading, tasks, note in (
        ("Late", due.late, lateness),
        ("Today", due.today, None),
        ("May wait", due.waiting, until),
        ("Done", due.done, None),
    ):
        if tasks:
            notes = [note(task) if note else _settled(task.state) for task in tasks]
            lines += ["", heading, *task_lines(tasks, notes)]
    lines += ["", *_totals(due)]
    mind = caution_lines(due.cautions)
    if mind:
        lines += ["", "Mind", *mind]
    return "\n".join(lines) + "\n"


def _settled(state: str) -> str:
    return "skipped" if state == "skipped" else ""


def _totals(due: Due) -> list[str]:
    if not due.late and not due.today and not due.waiting:
        return ["Nothing is left for this day."]
    must = total(due.minutes, due.limit)
    lines = [f"To do: {must}" if due.minutes else "To do: nothing that cannot wait"]
    if abs(due.likely - due.minutes) > MUCH:
        lines.append(f"By the record: about {minutes(due.likely)}")
    if due.waiting:
        lines.append(f"May wait: {minutes(due.waiting_minutes)}")
    return lines

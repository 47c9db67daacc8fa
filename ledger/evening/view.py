"""View: what a round looks like, as lines that fit a screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ledger.evening.clock import bar, beaten, count_text
from ledger.evening.progress import ticked_of
from ledger.evening.rows import Row
from ledger.evening.state import State
from ledger.render.layout import PLAIN, fit, long_day, short_day, wrap, wrap_whole
from ledger.render.tasks_text import INDENT, task_cells
from ledger.text.shown import safe
from ledger.text.width import width

HELP = (
    "Space tick", "m minutes", "s skip", "t clock", "Enter write", "Esc leave",
)  # fmt: skip
LEAST_TITLE, LEAST_NOTE = 14, 8
WIDE = 64
"""Columns from which a bar of the time is shown."""
MOST_QUESTION = 8
"""Lines that a question may have."""


class Line(NamedTuple):
    """A line of the screen."""

    text: str
    kind: str = ""
    """What it is: `head`, `at` (under the pointer), `later`, `done`, `counting`, `late`, `ask`,
    `keys` or nothing. No kind tells what the words do not."""


def screen_lines(state: State, now: float, columns: int, height: int) -> list[Line]:
    """All lines of the screen, from its top: never more than its height, never wider than it."""
    top = _top(state, columns)
    bottom = _bottom(state, columns, height)
    body, at, below = _body(state, now, columns)
    room = max(1, height - len(top) - len(bottom))
    first = max(0, min(at - room // 2, len(body) - room))
    # The steps below the pointer are to be seen with it, as far as they fit.
    first = max(first, min(at, below - room))
    shown = body[first : first + room]
    hidden = (["above"] if first else []) + (["below"] if first + room < len(body) else [])
    if hidden:
        more = f"; more {' and '.join(hidden)}"
        top[1] = Line(fit(top[1].text, columns - width(more)) + more)
    lines = [*top, *shown, *[Line("")] * (room - len(shown)), *bottom]
    return [Line(fit(line.text, columns), line.kind) for line in lines][:height]


def _top(state: State, columns: int) -> list[Line]:
    due, progress = state.list.due, state.progress
    days = long_day(due.day), short_day(due.day)
    titles = [", ".join(filter(None, (day, due.household, progress.who))) for day in days]
    title = next((one for one in titles if width(one) <= columns), titles[-1])
    return [Line(safe(title), "head"), Line(ticked_of(progress, state.list.rows))]


def _bottom(state: State, columns: int, height: int) -> list[Line]:
    """The question or the message, and the keys."""
    if state.asking is not None:
        words = wrap(state.asking.words, 0, columns).split("\n")
        typed = [] if state.asking.is_yes_or_no else [_end_of(f"> {state.asking.text}_", columns)]
        most = max(1, min(MOST_QUESTION, height - 4) - len(typed))
        if len(words) > most:
            # Its end is what is asked.
            words = ["…", *words[len(words) - most + 1 :]] if most > 1 else words[-1:]
        return [Line(text, "ask") for text in (*words, *typed)]
    keys = wrap_whole(HELP, ", ", 0, columns).split("\n")
    said = wrap(state.message, 0, columns).split("\n")[: max(1, height - 4 - len(keys))]
    return [*(Line(text, "ask") for text in said), *(Line(text, "keys") for text in keys)]


def _end_of(text: str, columns: int) -> str:
    """The end of a text that is too wide."""
    while width(text) > columns:
        text = f"…{text[2:]}"
    return text


def _body(state: State, now: float, columns: int) -> tuple[list[Line], int, int]:
    """The list; the line of the pointer, and the end of what belongs to it."""
    rows = state.list.rows
    cells = [task_cells(row.listed, PLAIN, None) for row in rows]
    sizes = [max(width(cell[n]) for cell in cells) for n in range(2)]
    titles = max(width(safe(row.task.title)) for row in rows)
    room = columns - 6
    people = sizes[1] if room - LEAST_TITLE - sizes[0] - 4 >= sizes[1] else 0
    title = min(titles, room - sizes[0] - 2 - (people + 2 if people else 0))
    lines: list[Line] = []
    at = below = 0
    group = ""
    for place, row in enumerate(rows):
        if row.listed.heading != group:
            group = row.listed.heading
            lines.append(Line(group, "later" if row.is_later else "head"))
        if place == state.at:
            at = len(lines)
        lines.append(_row(state, row, now, columns, cells[place], (title, sizes[0], people)))
        if place == state.at:
            lines += _steps(row, columns)
            below = len(lines)
    return lines, at, below


def _row(
    state: State,
    row: Row,
    now: float,
    columns: int,
    cells: tuple[str, str, str],
    sizes: tuple[int, int, int],
) -> Line:
    """The line of a row."""
    progress = state.progress
    is_at = row is state.row
    box = "x" if progress.is_ticked(row.key) else "-" if progress.is_skipped(row) else " "
    head = f"{'>' if is_at else ' '} [{box}] "
    said = _said(state, row, now, columns)
    if said:
        # What the clock says stands beside the name, and takes the place of all else.
        size = min(max(sizes[0], LEAST_TITLE), columns - width(head) - 2 - width(said))
        text = f"{head}{_name(row, size, is_named=True)}  {said}"
    else:
        minutes, people, notes = cells
        if box == "x":
            people = safe(", ".join(row.by(progress.who))) or people
        parts = [_name(row, sizes[0], not sizes[2]), " " * (sizes[1] - width(minutes)) + minutes]
        parts += [_padded(people, sizes[2])] if sizes[2] else []
        text = f"{head}{'  '.join(parts)}"
        if notes and columns - width(text) - 2 >= LEAST_NOTE:
            text += f"  {fit(notes, columns - width(text) - 2)}"
    return Line(text.rstrip(), "at" if is_at else _kind(state, row))


def _name(row: Row, size: int, is_named: bool) -> str:
    """The title in so many columns; with the person, who has no column of their own, if the row is
    one person's share."""
    person = f" ({safe(row.key.person)})" if is_named and row.key.person else ""
    if 0 < width(person) <= size // 2:
        cut = fit(safe(row.task.title), size - width(person)) + person
        return cut + " " * (size - width(cut))
    return _padded(safe(row.task.title), size)


def _kind(state: State, row: Row) -> str:
    counting = state.progress.counting
    if counting is not None and counting.key == row.key:
        return "counting"
    if state.progress.is_ticked(row.key) or state.progress.is_skipped(row):
        return "done"
    return "later" if row.is_later else ""


def _said(state: State, row: Row, now: float, columns: int) -> str:
    """What is said of a row instead of its minutes and people: its clock, what it took, or that it
    is skipped."""
    progress = state.progress
    counting = progress.counting
    if counting is not None and counting.key == row.key:
        seconds = progress.seconds(row.key, now)
        words = [count_text(row, seconds)]
        if columns >= WIDE:
            words += filter(None, [bar(row, seconds)])
            words += [f"usual {round(row.usual)} min"] if row.usual is not None else []
        return "  ".join(words)
    mark = progress.mark(row.key)
    if mark.ticked and mark.minutes is not None:
        return beaten(row, mark.minutes)
    if progress.is_skipped(row):
        reason = progress.skips[row.key.chore]
        return fit(f"skipped: {reason}" if reason else "skipped", columns // 2)
    if not mark.ticked and mark.worked is not None:
        return f"stopped at {mark.worked} min"
    return ""


def _padded(text: str, size: int) -> str:
    cut = fit(text, size)
    return cut + " " * (size - width(cut))


def _steps(row: Row, columns: int) -> list[Line]:
    """The steps of the row under the pointer."""
    edge = len(INDENT) + 6
    texts = (f"{' ' * edge}- {wrap(safe(step), edge + 2, columns)}" for step in row.task.steps)
    return [Line(line, "step") for text in texts for line in text.split("\n")]


def shown_fragments(lines: Sequence[Line]) -> list[tuple[str, str]]:
    """The lines as pieces of text with their styles, one piece a line."""
    ends = ["\n"] * (len(lines) - 1) + [""]
    return [
        (f"class:{line.kind}" if line.kind else "", line.text + end)
        for line, end in zip(lines, ends, strict=True)
    ]

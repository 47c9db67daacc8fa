"""The areas as text."""

from __future__ import annotations

from datetime import date

from ledger.render.layout import WIDTH, columns, fit, heading, long_day, near_day, short_day, wrap
from ledger.report.areas import Area, Areas, Care, Next
from ledger.text.shown import safe
from ledger.text.width import width
from ledger.text.words import counted, duration

GAPS = 6
"""Blanks between the four columns."""
CELL = 24
"""The most columns for the last care, and for what is next."""
Row = tuple[str, str, str, str]


def areas_text(areas: Areas) -> str:
    """Each area with its last care, what is next and its minutes, for people, in 80 columns."""
    lines = [heading(long_day(areas.on), areas.household), ""]
    if not areas.areas:
        return "\n".join([*lines, "The book has no areas and no chores."]) + "\n"
    cells = [[("Last care", "Next", "A month")], *(_cells(area, areas.on) for area in areas.areas)]
    room = WIDTH - GAPS - sum(max(width(row[n]) for two in cells for row in two) for n in range(3))
    rows: list[Row] = [("Area", *cells[0][0])]
    for area, (upper, lower) in zip(areas.areas, cells[1:], strict=True):
        name, rest = _in_two(safe(area.title) if area.title is not None else "No area", room)
        rows += [("", "", "", ""), (name, *upper), (rest, *lower)]
    lines += columns(rows, frozenset({3}))
    lines += ["", _together(areas)]
    if areas.untimed:
        names = safe(", ".join(areas.untimed))
        lines.append(wrap(f"Minutes not known, and not counted: {names}", 2))
    return "\n".join(lines) + "\n"


def _in_two(title: str, room: int) -> tuple[str, str]:
    """A title in two lines, cut if it is longer."""
    first, *rest = wrap(title, 0, room).split("\n")
    return fit(first, room), fit(" ".join(rest), room)


def _cells(area: Area, on: date) -> list[tuple[str, str, str]]:
    """The two lines of an area: the last care, what is next, and minutes above the number of
    chores."""
    day, done = _care(area.care)
    chore, when = _next(area, on)
    amount = duration(area.minutes) if area.minutes else "-"
    number = counted(len(area.chores), "chore", "chores") if area.chores else "no chores"
    return [(day, chore, amount), (done, when, number)]


def _care(care: Care | None) -> tuple[str, str]:
    if care is None:
        return "never yet", ""
    ago = near_day(-care.days_ago) or f"{care.days_ago} days ago"
    by = f", {', '.join(care.people)}" if care.people else ""
    return f"{short_day(care.day)}, {ago}", fit(safe(care.chore + by), CELL)


def _next(area: Area, on: date) -> tuple[str, str]:
    ahead = area.next
    if ahead is None:
        return "nothing", ""
    more = f", and {len(area.late) - 1} more" if len(area.late) > 1 else ""
    return fit(safe(ahead.chore), CELL), _when(ahead, on) + more


def _when(ahead: Next, on: date) -> str:
    if ahead.state == "overdue":
        return f"{counted(ahead.days_late, 'day', 'days')} late"
    if ahead.state == "due":
        return f"until {short_day(ahead.last)}" if ahead.last > on else "today"
    return f"from {short_day(ahead.first)}" if ahead.first < ahead.last else short_day(ahead.first)


def _together(areas: Areas) -> str:
    chores = counted(areas.chores, "chore", "chores")
    return f"Together: {chores}, {duration(areas.minutes)} in an average month"

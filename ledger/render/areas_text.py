"""The areas as text."""

from __future__ import annotations

from datetime import date

from ledger.keeping.shares import apportion
from ledger.render.layout import PLAIN, Sheet, heading, long_day, near_day, short_day, wrap
from ledger.render.rows import row_blocks, row_lines
from ledger.render.tasks_text import INDENT, last_done
from ledger.report.areas import Area, Areas, Care, Next
from ledger.text.shown import safe
from ledger.text.words import counted, duration

HEADERS = ("Area", "Last care", "Next", "A month")


def areas_text(areas: Areas, sheet: Sheet = PLAIN) -> str:
    """Each area with its last care, what is next and its minutes, for people."""
    lines = [heading(sheet, long_day(areas.on), areas.household), ""]
    if not areas.areas:
        return "\n".join([*lines, "The book has no areas and no chores."]) + "\n"
    minutes = [area.minutes for area in areas.areas]
    # The parts add up to the sum, which is rounded once.
    shown = apportion(round(areas.minutes), [round(1000 * part) for part in minutes])
    rows = [_cells(area, amount, areas.on) for area, amount in zip(areas.areas, shown, strict=True)]
    blocks = row_blocks(rows, sheet.width, right={3}, headers=HEADERS)
    lines += "\n\n".join("\n".join(block) for block in blocks).split("\n")
    lines += ["", wrap(_together(areas), 2, sheet.width)]
    lines += _undone_lines(areas, sheet)
    if areas.untimed:
        names = safe(", ".join(areas.untimed))
        lines.append(wrap(f"Minutes not known, and not counted: {names}", 2, sheet.width))
    return "\n".join(lines) + "\n"


def _cells(area: Area, minutes: int, on: date) -> tuple[str, str, str, str]:
    """The cells of an area, of two lines each: the last care, what is next, and minutes above the
    number of chores."""
    day, done = _care(area.care)
    chore, when = _next(area, on)
    amount = duration(minutes) if area.minutes else "-"
    number = counted(len(area.chores), "chore", "chores") if area.chores else "no chores"
    return _title(area), f"{day}\n{done}".strip(), f"{chore}\n{when}".strip(), f"{amount}\n{number}"


def _care(care: Care | None) -> tuple[str, str]:
    if care is None:
        return "never yet", ""
    ago = near_day(-care.days_ago) or f"{care.days_ago} days ago"
    by = f", {', '.join(care.people)}" if care.people else ""
    return f"{short_day(care.day)}, {ago}", safe(care.chore + by)


def _next(area: Area, on: date) -> tuple[str, str]:
    ahead = area.next
    if ahead is None:
        return "nothing", ""
    more = f", and {len(area.late) - 1} more" if len(area.late) > 1 else ""
    return safe(ahead.chore), _when(ahead, on) + more


def _when(ahead: Next, on: date) -> str:
    if ahead.state == "overdue":
        return f"{counted(ahead.days_late, 'day', 'days')} late"
    if ahead.state == "due":
        return f"until {short_day(ahead.last)}" if ahead.last > on else "today"
    return f"from {short_day(ahead.first)}" if ahead.first < ahead.last else short_day(ahead.first)


def _undone_lines(areas: Areas, sheet: Sheet) -> list[str]:
    """Of each area the chore that was not done for most of its periods, if for more than three."""
    rows = [
        (_title(area), safe(one.chore), f"{last_done(one, areas.on)}, {one.periods:.0f} periods")
        for area in areas.areas
        if (one := area.undone) is not None
    ]
    return ["", "Not done in a long time", *row_lines(rows, sheet.width, INDENT)] if rows else []


def _title(area: Area) -> str:
    return safe(area.title) if area.title is not None else "No area"


def _together(areas: Areas) -> str:
    chores = counted(areas.chores, "chore", "chores")
    return f"Together: {chores}, {duration(areas.minutes)} in an average month"

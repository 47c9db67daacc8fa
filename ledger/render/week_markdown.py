"""The week as a page to print, with boxes to tick."""

from __future__ import annotations

from ledger.render.as_markdown import escaped
from ledger.render.boxes import PAGE, boxes, mind_section, paragraphs
from ledger.render.layout import long_day
from ledger.render.tasks_text import (
    KEPT,
    absence_lines,
    apart_lines,
    heading_for,
    total,
)
from ledger.render.week_text import beyond, listed_of_day, listed_with, over_words
from ledger.report.week import Week, WeekDay


def week_markdown(week: Week) -> str:
    """The days from the one asked about on, and for each a box a chore; those of done ones are
    ticked."""
    when = f"Week of {long_day(week.days[0].day)} to {long_day(week.days[-1].day)}"
    heading = heading_for(PAGE, when, week.household, week.person, week.area)
    lines = [f"# {escaped(heading)}"]
    lines += paragraphs([KEPT] if week.kept_from is not None else [])
    lines += paragraphs([over_words(week, PAGE)])
    for day in week.days:
        lines += _day(day, week) if day.day >= week.on else []
    lines += boxes(beyond(week, PAGE), week.person)
    return "\n".join([*lines, *mind_section(*listed_with(week))]) + "\n"


def _day(day: WeekDay, week: Week) -> list[str]:
    name = long_day(day.day).rsplit(" ", 1)[0]
    spent = total(day.minutes, day.limit, day.shared_minutes)
    lines = ["", f"## {escaped(f'{name}: {spent}')}"]
    lines += paragraphs([*absence_lines(day.absent, PAGE), *apart_lines(day.apart, PAGE)])
    return lines + boxes(listed_of_day(day, week, PAGE), week.person)

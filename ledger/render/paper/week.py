"""The week on paper: what its days, or its people, have to tick."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from ledger.household.model import Household
from ledger.household.names import own_title
from ledger.render.boxes import PAGE, mind_texts
from ledger.render.layout import PLAIN, long_day
from ledger.render.paper.measures import Size
from ledger.render.tasks_text import (
    KEPT,
    Listed,
    absence_lines,
    apart_lines,
    container_line,
    heading_for,
    task_cells,
    total,
)
from ledger.render.week_text import beyond, listed_of_day, over_words
from ledger.report.task import Task, cautions_of
from ledger.report.week import Week, WeekDay

LEAST_PAGE = Size(90, 120)
"""On a smaller page a title has no room beside its box."""
ANYONE = "Anyone"


def week_data(
    week: Week,
    page: Size,
    people: dict[str, Week] | None = None,
    *,
    titles: dict[str, str] | None = None,
    is_large: bool = False,
    steps: bool = False,
) -> dict[str, Any]:
    """What the template of the week prints, for the days from the one asked about on.

    `people` has the week of each person: the tasks are then in a block for each of them, instead of
    by day. `titles` says what the people are called.
    """
    when = f"Week of {long_day(week.days[0].day)} to {long_day(week.days[-1].day)}"
    if people is None:
        groups = [_group("", week, [_shown(day.tasks, steps) for day in week.days])]
    return {}

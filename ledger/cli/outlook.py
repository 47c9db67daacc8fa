"""`besom outlook`: the load of the weeks and the year ahead."""

from __future__ import annotations

from pathlib import Path

import click

from ledger.cli.common import (
    as_option,
    books_argument,
    day_named,
    finish,
    on_option,
    open_books,
    show,
    today_of,
    weeks_option,
)
from ledger.cli.output import give


@click.command("outlook")
@books_argument
@on_option
@weeks_option(4, "Weeks told day by day, the last of them to its end.")
@as_option("csv", "markdown", "svg")
def command(paths: tuple[Path, ...], on: str, weeks: int, form: str) -> None:
    """What the days of the weeks ahead hold against their limits, and a year of them at a glance.

    Each chore that leaves a choice of days is put on one, so that as little as possible lies
    beyond the limits and no day is heavier than it must be. What is late stands on the first day.

    \b
    Examples:
      besom outlook                      the book in this folder, from today
      besom outlook --on monday --weeks 8
      besom outlook home/ --as svg       the year as a picture
    """
    workspace = open_books(paths)
    today = today_of(workspace.household)
    from ledger.report.outlook import outlook

    first = day_named(on, today).toordinal()
    answer = outlook(workspace.household, first, weeks, today.toordinal())
    if form == "svg":
        from ledger.render.outlook_svg import outlook_svg

        give(outlook_svg(answer))
    else:
        show("outlook", answer, form)
    finish(workspace)

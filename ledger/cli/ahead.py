"""`besom ahead`: the load of the coming weeks and the year."""

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


@click.command("ahead")
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
      besom ahead                    the book in this folder, from today
      besom ahead --on monday --weeks 8
      besom ahead home/ --as svg     the year as a picture
    """
    workspace = open_books(paths)
    today = today_of(workspace.household)
    from ledger.report.ahead import ahead

    first = day_named(on, today).toordinal()
    answer = ahead(workspace.household, first, weeks, today.toordinal())
    if form == "svg":
        from ledger.render.ahead_svg import ahead_svg

        give(ahead_svg(answer))
    else:
        show("ahead", answer, form)
    finish(workspace)

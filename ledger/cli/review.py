"""`besom review`: how the week went."""

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


@click.command("review")
@books_argument
@on_option
@weeks_option(1, "How many weeks, up to the one that holds the day.")
@as_option("csv", "markdown")
def command(paths: tuple[Path, ...], on: str, weeks: int, form: str) -> None:
    """How the week went: what was done and what slipped, where the minutes went, what next.

    A window counts on the day it was done or skipped, else on the last of its days. Kept is what
    was done, late or early too, of all but what was skipped or is still open.

    \b
    Examples:
      besom review                       this week, on a Sunday night
      besom review --on yesterday        the week that is over, on a Monday
      besom review --weeks 4             the last four together
      besom review home/ --as csv        a row a chore, for a spreadsheet
    """
    workspace = open_books(paths)
    today = today_of(workspace.household)
    from ledger.report.review import review

    day = day_named(on, today).toordinal()
    show("review", review(workspace.household, day, weeks, today.toordinal()), form)
    finish(workspace)

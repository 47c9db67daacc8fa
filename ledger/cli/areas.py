"""`besom areas`: when each area was last cared for, and what it takes."""

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
)


@click.command("areas")
@books_argument
@on_option
@as_option("csv", "markdown")
def command(paths: tuple[Path, ...], on: str, form: str) -> None:
    """For each area its last care, what is next in it, and its minutes in a month.

    The minutes are those of the routine as it stands, over an average month of the year. A chore
    in two areas gives half of its minutes to each.

    \b
    Examples:
      besom areas                        the book in this folder, today
      besom areas --on sunday
      besom areas home/ --as csv         a row an area, for a spreadsheet
    """
    workspace = open_books(paths)
    today = today_of(workspace.household)
    from ledger.report.areas import areas

    answer = areas(workspace.household, day_named(on, today).toordinal(), today.toordinal())
    show("areas", answer, form)
    finish(workspace)

"""`besom chore`: all the book knows of one chore."""

from __future__ import annotations

from pathlib import Path

import click

from ledger.cli.common import (
    as_option,
    books_argument,
    day_named,
    finish,
    known,
    on_option,
    open_books,
    show,
    today_of,
)


@click.command("chore")
@click.argument("name", metavar="CHORE")
@books_argument
@on_option
@as_option("csv", "markdown")
def command(name: str, paths: tuple[Path, ...], on: str, form: str) -> None:
    """All about one chore: its lines in the book, what is next, how it was kept, its record.

    Of the minutes of its latest timed lines the middle one is shown, and between which two the
    middle half of them lies.

    \b
    Examples:
      besom chore oven                   in the book of this folder, today
      besom chore oven home/ --on 2026-03-04
      besom chore oven --as csv          a row a window, a year back and those ahead
    """
    workspace = open_books(paths)
    name = known("chore", name, workspace.household.chores) or name
    today = today_of(workspace.household)
    from ledger.report.chore import about

    day = day_named(on, today).toordinal()
    show("chore", about(workspace.household, name, day, today.toordinal()), form)
    finish(workspace)

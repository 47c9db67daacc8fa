"""`besom lighten`: the fewest moves that make a week fit its days."""

from __future__ import annotations

from pathlib import Path

import click

from ledger.cli.common import (
    as_option,
    books_argument,
    finish,
    open_books,
    show,
    whole_number,
)
from ledger.cli.days import day_asked, on_option
from ledger.cli.proposing import Change, change_of, diff_of, show_change
from ledger.library import MOST_MOVES


@click.command("lighten")
@books_argument
@on_option
@click.option(
    "--moves",
    "most",
    type=whole_number(0, MOST_MOVES),
    metavar="N",
    help="Spend up to N moves, to lower the heaviest day too.",
)
@as_option("diff", "csv", "markdown")
def command(paths: tuple[Path, ...], on: str, most: int | None, form: str) -> None:
    """Propose the fewest moves of chores that make the year ahead fit its days.

    A move puts one line under another section of the same rhythm: another day of the week,
    another weekend of the month, or any day of the week or month. What is tied to another
    chore stays, and what uses things that must never meet. No file is changed: the report
    ends with a diff, which git apply takes.

    \b
    Examples:
      besom lighten                      what to move, and why
      besom lighten --moves 3            spend three moves on lighter days
      besom lighten home/ --as diff      the change alone
    """
    workspace = open_books(paths)
    from ledger.report.lighten import lighten

    day = day_asked(on, workspace.household)
    answer, relocations = lighten(workspace.household, day, most)
    change: Change = ()
    if relocations:
        from ledger.text.formatter import FormatFault
        from ledger.text.relocate import relocate

        try:
            change = change_of(workspace, relocate(workspace.trees, relocations).values())
        except FormatFault as fault:
            raise click.ClickException(f"{fault}: a bug of besom") from fault
    if form == "json":
        answer = answer._replace(diff=diff_of(change))
    if form != "diff":
        show("lighten", answer, form)
    if form in ("text", "diff"):
        show_change(change)
    finish(workspace)

"""`besom due`: what a day asks for."""

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
    show_json,
    today_of,
)


@click.command("due")
@books_argument
@on_option
@as_option
def command(paths: tuple[Path, ...], on: str, form: str) -> None:
    """What a day asks for: containers, chores, what is late, what may wait.

    \b
    Examples:
      besom due                          the book in this folder, today
      besom due --on tomorrow            what to take out this evening
      besom due home/ --on friday --as json
    """
    workspace = open_books(paths)
    today = today_of(workspace.household)
    from ledger.report.due import due

    answer = due(workspace.household, day_named(on, today).toordinal(), today.toordinal())
    if form == "json":
        show_json(answer)
    else:
        from ledger.render.due_text import due_text

        click.echo(due_text(answer), nl=False)
    finish(workspace)

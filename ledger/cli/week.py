"""`besom week`: seven days, and what each holds."""

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


@click.command("week")
@books_argument
@on_option
@as_option
def command(paths: tuple[Path, ...], on: str, form: str) -> None:
    """Seven days, what each holds and its minutes, and what may wait beyond them.

    \b
    Examples:
      besom week                         the book in this folder, this week
      besom week --on monday             the next week, on a Sunday night
      besom week home/ --on 2026-03-04 --as json
    """
    workspace = open_books(paths)
    today = today_of(workspace.household)
    from ledger.report.week import week

    answer = week(workspace.household, day_named(on, today).toordinal(), today.toordinal())
    if form == "json":
        show_json(answer)
    else:
        from ledger.render.week_text import week_text

        click.echo(week_text(answer), nl=False)
    finish(workspace)

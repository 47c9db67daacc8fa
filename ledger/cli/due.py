"""`besom due`: what a day asks for."""

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
    scope_options,
    show,
    today_of,
    whole_number,
)


@click.command("due")
@books_argument
@on_option
@scope_options
@click.option(
    "--minutes",
    type=whole_number(1, 1440),
    metavar="N",
    help="Only what is best done in so many minutes, and why the rest is left.",
)
@as_option("csv", "markdown")
def command(
    paths: tuple[Path, ...],
    on: str,
    person: str | None,
    area: str | None,
    minutes: int | None,
    form: str,
) -> None:
    """What a day asks for: containers, chores, what is late, what may wait.

    "By the record" says between which two figures the middle half lies of what these chores
    took together, by their latest timed lines.

    \b
    Examples:
      besom due                          the book in this folder, today
      besom due --on tomorrow            what to take out this evening
      besom due --minutes 30 --for tam   what tam does best with half an hour
      besom due home/ --on friday --in kitchen --as csv
    """
    workspace = open_books(paths)
    household = workspace.household
    today = today_of(household)
    from ledger.report.due import due
    from ledger.report.scope import Scope

    scope = Scope(known("person", person, household.people), known("area", area, household.areas))
    day = day_named(on, today).toordinal()
    show("due", due(household, day, today.toordinal(), scope, minutes), form)
    finish(workspace)

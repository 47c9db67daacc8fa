"""`besom week`: seven days, and what each holds."""

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
)


@click.command("week")
@books_argument
@on_option
@scope_options
@as_option("csv", "markdown")
def command(
    paths: tuple[Path, ...], on: str, person: str | None, area: str | None, form: str
) -> None:
    """Seven days, what each holds and its minutes, and what may wait beyond them.

    "By the record" says between which two figures the middle half lies of what these chores
    took together, by their latest timed lines.

    \b
    Examples:
      besom week                         the book in this folder, this week
      besom week --on monday             the next week, on a Sunday night
      besom week --for tam               tam's own part of it
      besom week home/ --on 2026-03-04 --in kitchen --as csv
    """
    workspace = open_books(paths)
    household = workspace.household
    today = today_of(household)
    from ledger.report.scope import Scope
    from ledger.report.week import week

    scope = Scope(known("person", person, household.people), known("area", area, household.areas))
    day = day_named(on, today).toordinal()
    show("week", week(household, day, today.toordinal(), scope), form)
    finish(workspace)

"""`besom paper labels`: a label for each container."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from ledger.cli.common import books_argument, finish, open_books
from ledger.cli.days import day_asked, on_option
from ledger.cli.papers.output import Output, output_options, print_paper


@click.command("labels")
@books_argument
@on_option
@output_options
def command(paths: tuple[Path, ...], on: str, output: Output) -> None:
    """A label for each container: its title, its chores and their minutes.

    \b
    Examples:
      besom paper labels -o labels.pdf
    """
    workspace = open_books(paths)

    def data() -> dict[str, Any]:
        from ledger.render.paper.labels import labels_data
        from ledger.report.routine import routine

        return labels_data(routine(workspace.household, day_asked(on, workspace.household)))

    print_paper("labels", output, data)
    finish(workspace)

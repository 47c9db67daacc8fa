"""`besom paper labels`: a label for each container."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.cli.common import books_argument, finish, open_books
from ledger.cli.days import day_asked, on_option
from ledger.cli.output import say
from ledger.cli.papers.measures import measured, page_option
from ledger.cli.papers.only import containers_asked
from ledger.cli.papers.output import Output, output_options, print_paper
from ledger.render.paper.measures import (
    MeasureFault,
    Size,
    read_length,
    read_size,
)

if TYPE_CHECKING:
    from ledger.render.paper.grid import Grid
    from ledger.render.paper.typesetting import Pages


@click.command("labels")
@books_argument
@click.option(
    "--label",
    type=measured(read_size),
    metavar="SIZE",
    help="Size of a label for the side of a jar; else 70x40mm.",
)
@click.option(
    "--lid", type=measured(read_length), metavar="SIZE", help="Round labels, so wide: 70mm."
)
@page_option("A4")
@click.option("--only", metavar="CONTAINER", help="Only the label of this container.")
@on_option
@output_options
def command(
    paths: tuple[Path, ...],
    label: Size | None,
    lid: float | None,
    page: Size,
    only: str | None,
    on: str,
    output: Output,
) -> None:
    """A label for each container: its title, its minutes, and its chores in small type.

    The chores are set in one column or two, as large as they fit, and never below 6 pt. Where not
    all of them fit, the label shows the first ones and how many more there are, and the command
    names a size that would hold them. A paused container has a label if --only names it.

    \b
    Examples:
      besom paper labels -o labels.pdf
      besom paper labels --label 90x50mm -o labels.pdf
      besom paper labels --lid 70mm --only "Morning tin" -o lid.pdf
    """
    workspace = open_books(paths)
    household = workspace.household
    grid = _grid(label, lid, page)

    def data() -> dict[str, Any]:
        from ledger.render.paper.labels import labels_data

        containers = containers_asked(household, day_asked(on, household), only, "label")
        return labels_data(household.title, containers, grid, is_round=lid is not None)

    def tell(made: Pages) -> None:
        for one in made.told:
            say(f"besom: {_shortened(one, lid is not None)}", err=True)

    print_paper("labels", output, data, tell)
    finish(workspace)


def _grid(label: Size | None, lid: float | None, page: Size) -> Grid:
    """Where the labels lie on their pages. Ends with exit 2 where they cannot."""
    from ledger.render.paper.grid import GridFault, filled
    from ledger.render.paper.labels import LABEL, MARGIN, check_label, check_lid, check_page

    if label is not None and lid is not None:
        raise click.UsageError("--label is for the side of a jar, --lid for its lid; name one")
    try:
        box = check_label(label or LABEL) if lid is None else check_lid(lid)
        return filled(check_page(page), box, MARGIN)
    except (GridFault, MeasureFault) as fault:
        raise click.UsageError(str(fault)) from fault


def _shortened(one: Mapping[str, Any], is_round: bool) -> str:
    """What is said of a label that does not show all chores of its container."""
    said = f'the label of "{one["name"]}" shows {one["shown"]} of {one["chores"]} chores'
    if one["width"] is None:
        return said
    size = f"--lid {one['width']}mm" if is_round else f"--label {one['width']}x{one['height']}mm"
    return f"{said}; `{size}` holds all"

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
from ledger.cli.papers.ready import grid_asked, layout_files, ready_options, tell_bar
from ledger.render.paper.measures import Size, read_length, read_page, read_size

if TYPE_CHECKING:
    from ledger.render.paper.grid import Grid
    from ledger.render.paper.typesetting import Pages


_PAGE = "A4"


@click.command("labels")
@books_argument
@click.option(
    "--label",
    type=measured(read_size),
    metavar="SIZE",
    help="Size of a label for the side of a jar; else 70x40mm.",
)
@click.option(
    "--lid",
    type=measured(read_length),
    metavar="SIZE",
    help="Round labels of this diameter, such as 70mm.",
)
@page_option(_PAGE, is_shown=False)
@ready_options
@click.option("--only", metavar="CONTAINER", help="Only the label of this container.")
@on_option
@output_options
def command(
    paths: tuple[Path, ...],
    label: Size | None,
    lid: float | None,
    page: Size | None,
    sheet: str | None,
    skip: int,
    only: str | None,
    on: str,
    output: Output,
) -> None:
    """A label for each container: its title, its minutes, and its chores in small type.

    The chores are set in one column or two, as large as they fit, and never below 6 pt. Where not
    all of them fit, the label shows the first ones, and how many more there are with the caution
    signs of those; the command names a size that holds all. A paused container has a label if
    --only names it. `besom paper tags --help` shows a file of measures for --sheet.

    \b
    Examples:
      besom paper labels -o labels.pdf
      besom paper labels --label 90x50mm -o labels.pdf
      besom paper labels --lid 70mm --only "Morning tin" -o lid.pdf
      besom paper labels --sheet 3x8-70x37mm --skip 5 -o labels.pdf
    """
    workspace = open_books(paths)
    household = workspace.household
    grid = _grid(label, lid, page, sheet, skip)

    def data() -> dict[str, Any]:
        from ledger.render.paper.labels import labels_data

        containers = containers_asked(household, day_asked(on, household), only, "label")
        return labels_data(
            household.title, containers, grid, lid is not None, sheet is not None, skip
        )

    shape = "sheet" if sheet is not None else "label" if lid is None else "lid"
    reads = (*workspace.files, *layout_files(sheet))
    if printed := print_paper("labels", output, reads, data, lambda made: _judge(made, shape)):
        tell_bar(printed)
    finish(workspace)


def _grid(
    label: Size | None, lid: float | None, page: Size | None, sheet: str | None, skip: int
) -> Grid:
    """Where the labels lie on their pages. Ends with exit 2 where they cannot."""
    from ledger.render.paper.grid import filled
    from ledger.render.paper.labels import LABEL, MARGIN, check_label, check_lid, check_page

    if label is not None and lid is not None:
        raise click.UsageError("--label is for the side of a jar, --lid for its lid; name one")

    def own() -> Grid:
        box = check_label(label or LABEL) if lid is None else check_lid(lid)
        return filled(check_page(page or read_page(_PAGE)), box, MARGIN)

    measures = {"--label": label, "--lid": lid, "--page": page}
    return grid_asked(sheet, skip, measures, check_label, own)


def _judge(made: Pages, shape: str) -> None:
    """Say which labels do not show all chores. Ends with exit 2 where one has no room for the
    caution signs of those that it does not show."""
    partial = [one for one in made.told if "shown" in one]
    faults = [
        f'the label of "{one["name"]}" has no room for its caution signs '
        f"({', '.join(one['hidden'])}); {_larger(one, shape)} has room"
        for one in partial
        if one["hidden"]
    ]
    if faults:
        raise click.UsageError("; ".join(faults))
    for one in partial:
        larger = "" if one["width"] is None else f"; {_larger(one, shape)} holds all"
        say(
            f'besom: the label of "{one["name"]}" shows {one["shown"]} of {one["chores"]} chores'
            f"{larger}",
            err=True,
        )


def _larger(one: Mapping[str, Any], shape: str) -> str:
    """The label that would hold what is told, as a call names it where it can."""
    if shape == "lid":
        return f"`--lid {one['width']}mm`"
    if shape == "label":
        return f"`--label {one['width']}x{one['height']}mm`"
    return f"one of {Size(one['width'], one['height'])}"

"""Ready labels: papers that are printed on sheets of labels, by the layout of such a sheet."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

from ledger.cli.common import whole_number
from ledger.cli.faults import no_such
from ledger.cli.output import say
from ledger.render.paper.measures import MeasureFault, Size
from ledger.workspace import WorkspaceFault, is_there, load_source

if TYPE_CHECKING:
    from ledger.cli.papers.output import Printed
    from ledger.render.paper.grid import Grid

F = TypeVar("F", bound=Callable[..., None])

_MOST_SKIPPED = 9_999


def ready_options(command: F) -> F:
    """`--sheet LAYOUT` and `--skip N`."""
    skip = click.option(
        "--skip",
        type=whole_number(0, _MOST_SKIPPED),
        metavar="N",
        default="0",
        help="Labels already used on the first sheet.",
    )
    sheet = click.option(
        "--sheet",
        metavar="LAYOUT",
        help="Print on ready labels, such as 3x8-70x37mm, or those of a FILE with their measures.",
    )
    return sheet(skip(command))


def grid_asked(
    sheet: str | None,
    skip: int,
    measures: Mapping[str, object],
    check: Callable[[Size], object],
    own: Callable[[], Grid],
) -> Grid:
    """Where the boxes of a paper lie on their pages. Ends with exit 2 where they cannot.

    A sheet says all measures: those of a call, by their options, are refused beside it. `check`
    raises MeasureFault for a label that is too small. `own` is the grid of a call without a sheet.
    """
    from ledger.render.paper.grid import GridFault
    from ledger.render.paper.layouts import LayoutFault, read_layout

    try:
        if sheet is None:
            if skip:
                raise click.UsageError("--skip counts the labels of a sheet; name it by --sheet")
            return own()
        for option, value in measures.items():
            if value is not None:
                raise click.UsageError(f"--sheet says all measures; leave {option} out")
        grid = read_layout(load_source(_layout_file(sheet)))
        check(grid.box)
    except (GridFault, LayoutFault, MeasureFault, WorkspaceFault) as fault:
        raise click.UsageError(str(fault)) from fault
    if skip >= grid.per_page:
        raise click.UsageError(
            f"--skip {skip}: a sheet has {grid.per_page} labels; skip at most {grid.per_page - 1}"
        )
    return grid


def layout_files(sheet: str | None) -> list[Path]:
    """The file of a layout that a call reads, if it names one."""
    return [] if sheet is None else [_layout_file(sheet)]


def _layout_file(sheet: str) -> Path:
    """The file of a layout: one of ours, or one that the call names. Ends with exit 2 if there is
    neither."""
    from ledger.render.paper.layouts import names, path_of

    if sheet in names():
        return path_of(sheet)
    if is_there(Path(sheet)):
        return Path(sheet)
    ours = ", ".join(names())
    raise no_such("layout", sheet, names(), f"name a file with measures, or one of {ours}")


def tell_bar(printed: Printed) -> None:
    """Say of a paper how to print it in true size where no bar of 50 mm has room."""
    if printed.data["bar"] is None:
        say(
            "besom: no margin has room for the bar of 50 mm; print on plain paper first, and hold "
            "that page behind the labels, against the light",
            err=True,
        )

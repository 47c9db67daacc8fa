"""`besom paper sheet`: the whole routine on a page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.cli.common import books_argument, finish, open_books, whole_number
from ledger.cli.days import day_asked, on_option
from ledger.cli.papers.measures import measured, page_option
from ledger.cli.papers.only import containers_asked
from ledger.cli.papers.output import Output, output_options, print_paper
from ledger.render.paper.measures import MeasureFault, Size, named_page, read_page

if TYPE_CHECKING:
    from ledger.render.paper.sheet import SheetPage
    from ledger.render.paper.typesetting import Pages

_MOST_PAGES = 20


@click.command("sheet")
@books_argument
@page_option("A5")
@click.option(
    "--paper",
    type=measured(read_page),
    metavar="PAGE",
    help="Paper to print it on, to cut it out of. Without it, that is A4, or letter for a "
    "half-letter.",
)
@click.option(
    "--punch",
    metavar="HOLES",
    help="Mark holes along the left edge, and keep the text away: 2, 3, 4, 6, or such as 4x45mm, "
    "four of them 45 mm apart.",
)
@click.option(
    "--pages",
    type=whole_number(1, _MOST_PAGES),
    metavar="N",
    default="1",
    show_default=True,
    help="Fill so many pages.",
)
@on_option
@output_options
def command(
    paths: tuple[Path, ...],
    page: Size,
    paper: Size | None,
    punch: str | None,
    pages: int,
    on: str,
    output: Output,
) -> None:
    """The whole routine on a page, to cut out for a planner.

    Each container has its minutes and its chores; a chore has the number of its area, who does it,
    and a sign where it can hurt. Below stand the key of the areas, the limits, and what to mind.
    The type is as large as the page allows, and never below 6 pt.

    --punch 2 and 4 are holes 80 mm apart (ISO 838), 3 and 6 those of common planners.

    \b
    Examples:
      besom paper sheet -o sheet.pdf
      besom paper sheet --page half-letter --punch 3 -o sheet.pdf
      besom paper sheet --page A4 --punch 4 --pages 2 -o sheet.pdf
      besom paper sheet --page 105x148mm --punch 6 -o sheet.pdf
    """
    workspace = open_books(paths)
    placed = _placed(page, paper, punch, pages)

    def data() -> dict[str, Any]:
        from ledger.render.paper.sheet import sheet_data
        from ledger.report.routine import routine

        day = day_asked(on, workspace.household)
        containers_asked(workspace.household, day, None, "sheet")
        return sheet_data(routine(workspace.household, day), placed)

    def judge(made: Pages) -> None:
        _refuse_overfull(made, page)

    print_paper("sheet", output, workspace.files, data, judge)
    finish(workspace)


def _placed(page: Size, paper: Size | None, punch: str | None, pages: int) -> SheetPage:
    """The page on its paper. Ends with exit 2 if it does not fit there, or its holes do not."""
    from ledger.render.paper.holes import read_punch
    from ledger.render.paper.sheet import paper_for, place_on

    try:
        holes = None if punch is None else read_punch(punch, page)
        return place_on(page, paper or paper_for(page), holes, pages)
    except MeasureFault as fault:
        raise click.UsageError(str(fault)) from fault


def _refuse_overfull(made: Pages, page: Size) -> None:
    """End with exit 2 if the routine needs more pages, and say how many."""
    for one in made.told:
        if "pages" in one:
            name, needed = named_page(page), one["pages"]
            raise click.UsageError(
                f"the routine needs {needed} pages of {name} at 6 pt, the smallest type; add "
                f"`--pages {needed}`, or name a larger page: `--page PAGE`"
                if needed
                else f"{_MOST_PAGES} pages of {name} do not hold the routine at 6 pt, the smallest "
                "type; name a larger page: `--page PAGE`"
            )

"""`besom paper tags`: a tag for each chore."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from ledger.cli.common import books_argument, finish, open_books
from ledger.cli.days import day_asked, on_option
from ledger.cli.output import say
from ledger.cli.papers.earlier import earlier_household
from ledger.cli.papers.measures import measured, page_option
from ledger.cli.papers.only import (
    chore_named,
    container_named,
    containers_asked,
    containers_on,
)
from ledger.cli.papers.output import Output, Printed, output_options, print_paper
from ledger.cli.papers.ready import grid_asked, layout_files, ready_options, tell_bar
from ledger.render.paper.measures import Size, named_page, read_page, read_size
from ledger.text.words import listed
from ledger.workspace import Workspace

if TYPE_CHECKING:
    from ledger.render.paper.grid import Edge, Grid
    from ledger.render.paper.tags import Tag

_PAGE = "A4"


class Call(NamedTuple):
    """What a call asks for, but for where its pages go."""

    tag: Size | None
    page: Size | None
    sheet: str | None
    skip: int
    backs: Edge | None
    only: str | None
    chore: str | None
    since: str | None


@click.command("tags")
@books_argument
@click.option(
    "--tag", type=measured(read_size), metavar="SIZE", help="Size of a tag; else 60x25mm."
)
@page_option(_PAGE, is_shown=False)
@ready_options
@click.option(
    "--backs",
    type=click.Choice(["long", "short"]),
    help="Print steps and cautions on the backs; the printer turns the page around this edge.",
)
@click.option("--only", metavar="CONTAINER", help="Only the tags of this container.")
@click.option(
    "--chore",
    metavar="CHORE",
    help="Only the tag of this chore, such as a lost one; with --only, of it in that container.",
)
@click.option(
    "--since",
    metavar="REVISION",
    help="Only the tags that changed since a revision of git, or since the end of a day.",
)
@on_option
@output_options
def command(paths: tuple[Path, ...], on: str, output: Output, **call: Any) -> None:
    """A tag for each chore: its title and minutes, its area, its container, and who does it.

    Tags have marks to cut by, and a circle for the hole of a ring. What a chore uses that can hurt
    is named on its tag; what to mind with it is on its back, and on the last page with who says so.
    A back has the title of its chore too, so that it can be matched with its front.

    \b
    Examples:
      besom paper tags -o tags.pdf
      besom paper tags --backs long --tag 70x35mm -o tags.pdf
      besom paper tags --sheet 3x8-70x37mm --skip 5 -o labels.pdf
      besom paper tags --only "Morning tin" --since HEAD~1 -o new.pdf
      besom paper tags --chore oven -o lost.pdf

    \b
    A file of measures for --sheet; the pitch is needed where there are gaps:
      page = "A4"
      label = "63.5x38.1mm"
      columns = 3
      rows = 7
      margin-left = "7.2mm"
      margin-top = "15.1mm"
      pitch-across = "66mm"
      pitch-down = "38.1mm"
    """
    workspace = open_books(paths)
    asked = Call(**call)
    reads = (*workspace.files, *layout_files(asked.sheet))
    if printed := print_paper("tags", output, reads, lambda: _data(asked, workspace, paths, on)):
        _tell_paper(asked, printed)
    finish(workspace)


def _data(
    call: Call, workspace: Workspace, paths: tuple[Path, ...], on: str
) -> dict[str, Any] | None:
    """What is to be printed; None where nothing has changed. Ends with exit 2 where that cannot
    be."""
    from ledger.render.paper.tags import tags_data, tags_of

    grid = _grid(call)
    household = workspace.household
    day = day_asked(on, household)
    if call.since is None:
        tags = tags_of(containers_asked(household, day, call.only, "tag", call.chore))
    else:
        which = container_named(household, call.only), chore_named(household, call.chore)
        earlier = earlier_household(call.since, paths, workspace)
        now, before = (tags_of(containers_on(one, day, *which)) for one in (household, earlier))
        tags = _changed(now, before, call)
        if not tags:
            return None
    return tags_data(
        household.title, tags, grid, call.backs, ready=call.sheet is not None, skip=call.skip
    )


def _grid(call: Call) -> Grid:
    """Where the tags lie on their pages. Ends with exit 2 where they cannot."""
    from ledger.render.paper.grid import filled
    from ledger.render.paper.tags import MARGIN, SIZE, check_size

    measures = {"--tag": call.tag, "--page": call.page}
    return grid_asked(
        call.sheet,
        call.skip,
        measures,
        check_size,
        lambda: filled(call.page or read_page(_PAGE), check_size(call.tag or SIZE), MARGIN),
    )


def _changed(tags: list[Tag], before: list[Tag], call: Call) -> list[Tag]:
    """The tags that have changed; those to take out are named, and that there is none to print."""
    from ledger.render.paper.tags import changed, gone

    left = gone(tags, before)
    for tag in left:
        say(f'take out: "{tag.front["title"]}" of "{tag.container}"', err=True)
    new = changed(tags, before, call.backs is not None)
    if not new:
        found = "there is no new tag to print" if left else f"no tag has changed since {call.since}"
        say(f"besom: {found}; nothing is written", err=True)
    return new


def _tell_paper(call: Call, printed: Printed) -> None:
    """Say what is to be known of the pages before they are printed."""
    tell_bar(printed)
    data = printed.data
    untitled = [f'"{one["untitled"]}"' for one in printed.pages.told if "untitled" in one]
    for is_so, words in (
        (
            call.sheet and call.backs,
            "backs are for cards; those of sticky labels are printed on their backing paper",
        ),
        (untitled, f"there is no room for the title on the back of {listed(untitled)}"),
        (
            data["mind"] and (call.sheet or data["plain"] != data["page"]),
            'the last page, "What to mind", is for plain paper of '
            + named_page(Size(**data["plain"])),
        ),
    ):
        if is_so:
            say(f"besom: {words}", err=True)

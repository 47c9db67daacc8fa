"""`besom paper week`: the list of the week with boxes to tick."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ledger.cli.common import books_argument, finish, open_books, scope_options
from ledger.cli.days import day_asked, on_option
from ledger.cli.naming import resolved_name
from ledger.cli.papers.measures import page_option
from ledger.cli.papers.output import Output, output_options, print_paper
from ledger.render.paper.measures import MeasureFault, Size, read_page

if TYPE_CHECKING:
    from ledger.household.model import Household
    from ledger.report.week import Week

LEAST_PAGE = Size(90, 120)
"""On a smaller page a title has no room beside its box."""


def _read_page(text: str) -> Size:
    """A page on which the list has room. Raises MeasureFault."""
    page = read_page(text)
    if page.width < LEAST_PAGE.width or page.height < LEAST_PAGE.height:
        raise MeasureFault(f'"{text}" is too small for the week; it needs {LEAST_PAGE}')
    return page


@click.command("week")
@books_argument
@on_option
@scope_options
@click.option(
    "--each",
    type=click.Choice(["day", "person"]),
    default="day",
    show_default=True,
    help="One list by days for all, or a page for each person and one for everyone.",
)
@click.option(
    "--large",
    is_flag=True,
    help="Large type. With --for, a child's page: without what others may do as well, who else "
    "may do it, limits, what to take out and what may wait.",
)
@click.option("--steps", is_flag=True, help="The steps of each chore too.")
@page_option("A4", _read_page)
@output_options
def command(
    paths: tuple[Path, ...],
    on: str,
    person: str | None,
    area: str | None,
    each: str,
    large: bool,
    steps: bool,
    page: Size,
    output: Output,
) -> None:
    """The list of the week with boxes to tick, from today, or from the first day of a week to
    come.

    It has the tasks of besom week, in its order. What is done is ticked already; what is let go has
    no box. The type grows as far as the list keeps to its pages.

    With `--each person`, the page of a person has what they do, and the last page has what to take
    out and what nobody in particular does. A person with nothing to do has no page.

    \b
    Examples:
      besom paper week -o week.pdf
      besom paper week --on monday --each person -o week.pdf
      besom paper week --for edie --large -o edie.pdf
      besom paper week --page A5 --as png -o week.png
    """
    if person is not None and each == "person":
        raise click.UsageError("--for names one person already; leave out `--each person`")
    workspace = open_books(paths)
    household = workspace.household
    person = resolved_name("person", person, household.people)
    area = resolved_name("area", area, household.areas)
    day = day_asked(on, household)

    def data() -> dict[str, Any]:
        from ledger.render.paper.week import week_data

        called = household.people[person].title if person else ""
        answers = _weeks(household, day, person, area, each)
        return week_data(*answers, page, called, is_large=large, steps=steps)

    print_paper("week", output, workspace.files, data)
    finish(workspace)


def _weeks(
    household: Household, day: int, person: str | None, area: str | None, each: str
) -> tuple[Week, list[tuple[str, Week]] | None]:
    """The week that is asked for, and that of each person with their title, if they are too."""
    from ledger.report.scope import Scope
    from ledger.report.week import week

    of = partial(week, household, day)
    people = household.people.items()
    own = [(one.title, of(Scope(name, area))) for name, one in people] if each == "person" else None
    return of(Scope(person, area)), own

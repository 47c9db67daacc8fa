"""`besom calendar`: the containers and chores of the coming years as an iCalendar file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from ledger.cli.common import PATH, books_argument, finish, open_books, scope_options, whole_number
from ledger.cli.days import day_asked, on_option
from ledger.cli.extras import needing
from ledger.cli.naming import resolved_name
from ledger.cli.output import give, say
from ledger.cli.targets import STANDARD_OUTPUT, check_target
from ledger.clock import moment
from ledger.household.cadence import containers
from ledger.text.words import counted
from ledger.workspace import is_there

if TYPE_CHECKING:
    from ledger.household.model import Household
    from ledger.render.as_icalendar import Exported
    from ledger.report.calendar import Calendar

MOST_YEARS = 10
_MOST_TOLD = 10
_TIME = re.compile("([01]?[0-9]|2[0-3]):([0-5][0-9])")


def _evening_before(text: str) -> timedelta:
    """How long before a day begins it is this time of the day before."""
    found = _TIME.fullmatch(text.strip())
    if found is None:
        raise click.BadParameter(f'"{text}" is no time of day; write it as 20:00 or 07:30')
    return timedelta(days=1) - timedelta(hours=int(found[1]), minutes=int(found[2]))


HELP = """
The coming years for a phone or a calendar program, as an iCalendar file.

Each container has an all-day entry on the day that it comes out, which tells until when it has
time, and its chores with their minutes, areas, people and steps. With --chores, each chore has an
entry over its whole window instead; with --todo, all are to-dos.

What is done, skipped or excused is left out, and what was moved is on its new day. What is late is
left out too, but for a chore that comes once or after it is done: that is on the first day. Of what
comes after it is done only the next time is known.

When the book has changed, import the file again: its entries are then changed, and do not come
twice. What is in the file no more stays in your calendar until you delete it there; where FILE is
an older calendar of besom, you are told what that is. Needs the extra `calendar`:
pip install '.[calendar]' in a copy of besom.

\b
Examples:
  besom calendar -o chores.ics                     then import chores.ics
  besom calendar --for tam --reminder 20:00 -o tam.ics
  besom calendar --only "Evening tin" --years 1
  besom calendar home/ --chores --in kitchen --todo -o kitchen.ics
"""


class Asked(NamedTuple):
    """What a call asks for, beside the book and the file."""

    chores: bool
    todo: bool
    reminder: timedelta | None
    person: str | None
    area: str | None
    only: str | None
    years: int
    on: str


@click.command("calendar", help=HELP)
@books_argument
@click.option(
    "-o",
    "--output",
    type=PATH,
    metavar="FILE",
    help="Write this file; without it, to standard output.",
)
@click.option("--force", is_flag=True, help="Replace FILE even if it is no calendar of besom.")
@click.option("--chores", is_flag=True, help="One entry a chore, over all days that it has.")
@click.option("--todo", is_flag=True, help="To-dos, which end when they are due, not events.")
@click.option(
    "--reminder",
    type=_evening_before,
    metavar="TIME",
    help="A reminder on the day before, at this time: 20:00.",
)
@scope_options
@click.option("--only", metavar="CONTAINER", help="Only this container.")
@click.option(
    "--years",
    type=whole_number(1, MOST_YEARS),
    metavar="N",
    default="2",
    show_default=True,
    help="For how many years, from the day on.",
)
@on_option
def command(paths: tuple[Path, ...], output: Path | None, force: bool, **asked: Any) -> None:
    """The coming years as an iCalendar file."""
    with needing("calendar", "a calendar needs the library", "icalendar"):
        from ledger.render import as_icalendar
    workspace, wanted = open_books(paths), Asked(**asked)
    calendar = _calendar(workspace.household, wanted)
    form = as_icalendar.Form(moment(), wanted.todo, wanted.reminder)
    data = as_icalendar.to_icalendar(calendar, form)
    if output is None or output == STANDARD_OUTPUT:
        give(data, end="\r\n")
    else:
        check_target(output, "chores.ics", workspace.files)
        before, after = _write(output, data, force), as_icalendar.exported(data) or {}
        said = counted(len(after), "entry", "entries")
        say(f"{output}: {said}, from {calendar.first} to {calendar.last}")
        _tell_left(output, before, after, calendar.first)
    if calendar.hanging:
        comes = counted(
            calendar.hanging,
            "chore comes round after it is done: only its next time is",
            "chores come round after they are done: only the next time of each is",
        )
        say(f"besom: {comes} in the calendar", err=True)
    finish(workspace)


def _calendar(household: Household, wanted: Asked) -> Calendar:
    """The entries that a call asks for. Ends with exit 2 for a name that fits none or several."""
    from ledger.report.calendar import calendar_of
    from ledger.report.scope import Scope

    scope = Scope(
        resolved_name("person", wanted.person, household.people),
        resolved_name("area", wanted.area, household.areas),
    )
    only = resolved_name("container", wanted.only, containers(household.sections))
    first = day_asked(wanted.on, household)
    return calendar_of(household, first, wanted.years, scope, only, by_chore=wanted.chores)


def _write(path: Path, data: bytes, force: bool) -> Mapping[str, Exported]:
    """Write the file whole; return what it held of an earlier export. Ends with exit 2 if it is
    there and is none, or cannot be written."""
    from ledger.render.as_icalendar import exported
    from ledger.writing import WriteFault, create, rewrite

    held: dict[str, Exported] = {}

    def replaced(given: bytes) -> bytes:
        known = exported(given)
        if known is None and not force:
            raise click.UsageError(
                f"{path}: is there, and is no calendar of besom; --force replaces it"
            )
        held.update(known or {})
        return data

    try:
        if is_there(path):
            rewrite(path, replaced)
        else:
            create(path, data)
    except WriteFault as fault:
        raise click.UsageError(str(fault)) from fault
    return held


def _tell_left(
    path: Path, before: Mapping[str, Exported], after: Mapping[str, Exported], day: date
) -> None:
    """Say which entries of the earlier file, of those that are not past, are gone."""
    gone = [one for uid, one in before.items() if uid not in after and one.last >= day]
    if not gone:
        return
    those = counted(len(gone), "entry is", "entries are")
    say(
        f"besom: {those} no longer in {path}; what you imported of them, delete in your calendar "
        "program:",
        err=True,
    )
    # Several entries of a container are called alike, and some of them may have stayed.
    names = sorted({f"{one.summary}, from {one.first}" for one in gone})
    for name in names[:_MOST_TOLD]:
        say(f"  {name}", err=True)
    if len(names) > _MOST_TOLD:
        say(f"  and {len(names) - _MOST_TOLD} more", err=True)

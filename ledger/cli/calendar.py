"""`besom calendar`: the containers and chores of the coming years as an iCalendar file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import timedelta
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
    from ledger.render.as_icalendar import Export, Exported
    from ledger.report.calendar_entries import Calendar

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

Each container has an all-day entry on the day that it comes out. It tells until when there is time,
and its chores with their minutes, areas, people and steps. A chore that comes some days after it is
done has an entry of its own. With --chores, each chore has an entry over its whole window instead;
with --todo, all are to-dos.

What is done, skipped or excused is left out, and what was moved is on its new day. What is late is
left out too, but a late `once` or `after done` chore stands on the first day. Of an `after done`
chore the file has only the next time.

When the book has changed, import the file again: your program changes the entries that it has.
An entry that is no longer in the file stays in your calendar until you delete it there; where FILE
is an older calendar of the same call, you are told which those are. Entries are known by the title
of the household and of their container: two homes need two titles. Needs the extra `calendar`:
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
@click.option(
    "--chores", is_flag=True, help="One entry for each chore, over all days of its window."
)
@click.option("--todo", is_flag=True, help="To-dos with a due time, instead of events.")
@click.option(
    "--reminder",
    type=_evening_before,
    metavar="TIME",
    help="A reminder on the evening before an entry begins, at this time: 20:00.",
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
        before, after = _write(output, data, force), as_icalendar.exported(data)
        assert after is not None
        said = counted(len(after.by_uid), "entry", "entries")
        say(f"{output}: {said}, from {calendar.first} to {calendar.last}")
        if before is not None and before.view == after.view:
            _tell_left(output, before.by_uid, after.by_uid, calendar)
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


def _write(path: Path, data: bytes, force: bool) -> Export | None:
    """Write the file whole; return the earlier export that it held, if any. Ends with exit 2 if it
    is there and is none, or cannot be written."""
    from ledger.render.as_icalendar import exported
    from ledger.writing import WriteFault, create, rewrite

    held: Export | None = None

    def replaced(given: bytes) -> bytes:
        nonlocal held
        held = exported(given)
        if held is None and not force:
            raise click.UsageError(
                f"{path}: is there, and is no calendar of besom; --force replaces it"
            )
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
    path: Path, before: Mapping[str, Exported], after: Mapping[str, Exported], calendar: Calendar
) -> None:
    """Say which entries of the earlier file are gone, of those of the days that are told."""
    gone = [
        one
        for uid, one in before.items()
        if uid not in after and one.last >= calendar.first and one.first <= calendar.last
    ]
    if not gone:
        return
    those = counted(len(gone), "entry is", "entries are")
    which = "it" if len(gone) == 1 else "them"
    say(
        f"besom: {those} no longer in {path}; if you have imported {which}, delete {which} in your "
        "calendar program:",
        err=True,
    )
    # Several entries of a container are called alike, and some of them may have stayed.
    names = sorted({f"{one.summary}, from {one.first}" for one in gone})
    for name in names[:_MOST_TOLD]:
        say(f"  {name}", err=True)
    if len(names) > _MOST_TOLD:
        say(f"  and {len(names) - _MOST_TOLD} more", err=True)

"""Earlier books: the household as git had it in a revision, or at the end of a day."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from ledger.cli.common import default_book
from ledger.cli.days import ISO_DATE, day_named
from ledger.household.model import Household
from ledger.workspace import Workspace, WorkspaceFault, read_sources

_PARAMETER = "--since"


def earlier_household(since: str, paths: tuple[Path, ...], workspace: Workspace) -> Household:
    """The household of a call as it was in a revision, or on a day, seen from today. Ends with exit
    2 where git has neither."""
    from ledger.git.books import homes_at

    if paths == (Path("-"),):
        raise click.UsageError("git knows nothing of standard input; name files or folders")
    today = workspace.household.today
    books = paths or (default_book(),)
    try:
        homes = homes_at(_revision(since, books[0], date.fromordinal(today)), books)
    except WorkspaceFault as fault:
        raise click.UsageError(str(fault)) from fault
    same = [home for home in homes if home.folder == workspace.folder] or homes
    earlier = same[0].workspace() if same else read_sources(())
    return earlier.on(today).household


def _revision(since: str, book: Path, today: date) -> str:
    """The revision that a text names, which may be a day. Raises GitFault where there is none, and
    ends with exit 2 for a text that is neither."""
    from ledger.git.books import is_revision, revision_on, top_of

    top = top_of(book)
    if not ISO_DATE.fullmatch(since) and is_revision(since, top):
        return since
    try:
        day = day_named(since, today, past=True, parameter=_PARAMETER)
    except click.BadParameter as fault:
        if ISO_DATE.fullmatch(since):
            raise
        raise click.BadParameter(
            f'"{since}" is no revision that git knows here, and no day; write one such as HEAD~1 '
            f"or {today}",
            param_hint=_PARAMETER,
        ) from fault
    return revision_on(day, top)

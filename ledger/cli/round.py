"""`besom round`: goes through the list of today with the clock, and records it at the end."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.cli.common import FINDINGS, finish
from ledger.cli.extras import needing
from ledger.cli.naming import people_named
from ledger.cli.output import can_draw, confirmed, has_colours, say, show_text
from ledger.cli.recording import append, book_option, checked_entry, open_to_write, record_path
from ledger.workspace import Workspace, WorkspaceFault

if TYPE_CHECKING:
    from ledger.evening.keep import Found, Kept
    from ledger.evening.progress import Progress
    from ledger.evening.rows import RoundList, Row
    from ledger.evening.screen import Screen
    from ledger.evening.state import State

ANOTHER = "another round of this home is going on; no chore is written twice"


@click.command("round")
@book_option
def command(book: Path | None) -> None:
    """Go through the list of today with the clock, tick by tick, and record it at the end.

    \b
    Keys:
      up, down (or k, j)  go to a chore; its steps are shown below it
      space               tick it, or take the tick back
      t                   start or stop its clock, which counts its minutes down
      m                   type its minutes, which ticks it too
      s                   leave it out this once, or take that back
      Enter               write it all; `besom undo` takes it back as one
      Esc                 leave, and write nothing
      Ctrl-C              stop here; the next round goes on from it

    Nothing of a round is lost if its terminal is closed: the next one offers to go on. A clock that
    was stopped without a tick is recorded as minutes worked. BESOM_ME says who goes the round; else
    it is asked, where the chores are for different people. Needs the extra `screen`:
    pip install '.[screen]' in a copy of besom.

    \b
    Examples:
      besom round
      besom round --book home/
    """
    with needing("screen", "a round needs", "prompt_toolkit", "wcwidth"):
        from ledger.evening.screen import Screen
    if not can_draw():
        raise click.UsageError(
            "a round needs a terminal to show its list; `besom due` prints the list, and "
            "`besom did CHORE` records what is done"
        )
    _go(book, Screen)


def _go(book: Path | None, screen_of: Callable[..., Screen]) -> None:
    """Begin a round, or go on with one, and show it until it ends."""
    from ledger.evening.state import begun

    workspace = open_to_write(book)
    with _kept_round(workspace) as found:
        progress = _progress(workspace, found)
        round_list = _list_of(workspace.on(progress.day))
        if not round_list.rows:
            _end_without_rows(round_list, progress, found)
            return
        kept = found.kept if found else None
        state = begun(round_list, progress)
        if found and found.goes_elsewhere:
            state = replace(state, message=ANOTHER)
        screen = screen_of(
            state, time.time, lambda later: _keep(kept, later.progress), has_colours()
        )
        _end(screen.run(), workspace, book, found)


@contextmanager
def _kept_round(workspace: Workspace) -> Iterator[Found | None]:
    """The file in which the round is kept; None where there can be none, which is said."""
    from ledger.evening.keep import find

    try:
        found = find(workspace.folder)
    except OSError as fault:
        reason = fault.strerror or str(fault)
        say(f"besom: this round cannot be kept if its terminal is closed ({reason})", err=True)
        yield None
        return
    try:
        if found.goes_elsewhere:
            say(f"besom: {ANOTHER}", err=True)
        yield found
    finally:
        found.kept.close()


def _progress(workspace: Workspace, found: Found | None) -> Progress:
    """The round that was not written, if the person wants to go on with it; else a new one."""
    from ledger.evening.clock import time_of_day
    from ledger.evening.progress import Progress

    household = workspace.household
    before = found.progress if found else None
    if before is not None and before.written and _is_written(workspace, before):
        say("The round before was written, though it came to a sudden end.")
        before = None
    if before is not None and before.counting is not None:
        before = before.stopped(before.counting.seen)
    if before is not None and before.told:
        when = time_of_day(before.began)
        if before.day != household.today:
            when = f"{date.fromordinal(before.day)}, {when},"
        question = f"A round of {when} was not written: {before.told}."
        if confirmed(f"{question} Go on with it (n lets it go)?", default=True):
            # The book may have other people by now.
            return before if before.who in household.people else replace(before, who=None)
    who = next(iter(people_named((), household.people)), None)
    return Progress(household.today, time.time(), who)


def _list_of(workspace: Workspace) -> RoundList:
    """The list of the day on which a round began, as the book is now."""
    from ledger.evening.rows import round_list
    from ledger.report.due import due

    household = workspace.household
    return round_list(household, due(household, household.today))


def _end_without_rows(round_list: RoundList, progress: Progress, found: Found | None) -> None:
    from ledger.render.due_text import to_do

    _say_what_is_gone(progress, round_list.rows)
    _forget(found)
    say(to_do(round_list.due))


def _keep(kept: Kept | None, progress: Progress) -> str:
    """Keep a round; returns why it cannot be kept, or nothing."""
    try:
        if kept is not None:
            kept.save(progress)
    except OSError as fault:
        return fault.strerror or str(fault)
    return ""


def _forget(found: Found | None) -> None:
    if found is not None:
        found.kept.forget()


def _end(state: State, workspace: Workspace, book: Path | None, found: Found | None) -> None:
    """Write a round, let it go, or say that it is kept."""
    told = state.progress.told
    if state.end == "write":
        _write(state, workspace, book, found)
    elif state.end == "leave":
        _forget(found)
        say("Nothing was written.")
    else:
        if not told:
            _forget(found)
        elif found is None or _keep(found.kept, state.progress):
            say(f"besom: the round is lost ({told}), for it cannot be kept", err=True)
        else:
            say(f"The round is kept: {told}. `besom round` goes on with it.")
        raise SystemExit(FINDINGS)


def _write(state: State, workspace: Workspace, book: Path | None, found: Found | None) -> None:
    """Add what was ticked, timed and skipped to the record, but for what others have settled since
    the list was made. Ends with exit 2, and keeps the round, if that fails."""
    from ledger.evening.progress import lines

    progress, kept = state.progress, found.kept if found else None
    fresh, rows, written = workspace, state.list.rows, list[str]()

    def made() -> tuple[Sequence[str], Workspace]:
        nonlocal fresh, rows, written
        fresh = open_to_write(book).on(progress.day)
        rows = _list_of(fresh).of(progress.who).rows
        written = lines(progress, rows)
        for line in written:
            checked_entry(line)
        before = {line: _count(fresh, line) for line in written}
        _keep(kept, replace(progress, written=before))
        return written, fresh

    is_kept = found is not None and not _keep(kept, progress)
    path = record_path(workspace, book, date.fromordinal(progress.day))
    try:
        append(path, made)
    except (click.UsageError, WorkspaceFault) as fault:
        more = "; the round is kept, and `besom round` goes on with it" if is_kept else ""
        raise click.UsageError(f"{getattr(fault, 'message', fault)}{more}") from fault
    _forget(found)
    for line in written:
        say(f"{path}: {line}")
    _say_what_it_settles(fresh, progress, written)
    _say_what_was_beaten(progress, rows)
    _say_what_is_gone(progress, rows)
    finish(fresh)


def _say_what_it_settles(workspace: Workspace, progress: Progress, written: Sequence[str]) -> None:
    from ledger.render.settles_text import settles_text
    from ledger.report.settles import effects, settles

    for line in written:
        entry = checked_entry(line)
        found = effects(workspace.household, progress.day, entry)
        show_text(settles_text(settles(found, progress.day, entry.verb)))


def _say_what_was_beaten(progress: Progress, rows: Sequence[Row]) -> None:
    """Say of each chore that the clock has timed what it took against its minutes."""
    from ledger.evening.clock import beaten

    for row in rows:
        mark = progress.mark(row.key)
        if mark.ticked and mark.worked and mark.minutes:
            say(f"  {row.key.chore} took {beaten(row, mark.minutes)}")


def _say_what_is_gone(progress: Progress, rows: Sequence[Row]) -> None:
    from ledger.evening.progress import gone

    for chore in gone(progress, rows):
        say(
            f"besom: {chore} was not written, as it is open no longer: someone has settled it "
            "meanwhile, or it has left the book",
            err=True,
        )


def _count(workspace: Workspace, line: str) -> int:
    """How often a book holds a line."""
    return sum(tree.source.text.splitlines().count(line) for tree in workspace.trees)


def _is_written(workspace: Workspace, progress: Progress) -> bool:
    """True if the lines of a round that ended while it was written are in the record."""
    return all(_count(workspace, line) > before for line, before in progress.written.items())

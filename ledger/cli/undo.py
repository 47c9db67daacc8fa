"""`besom undo`: takes back what was recorded last."""

from __future__ import annotations

import json
from pathlib import Path
from typing import NamedTuple

import click

from ledger.cli.common import FINDINGS, as_option, finish, shown_path
from ledger.cli.output import give, say
from ledger.cli.recording import book_option, open_to_write
from ledger.text.fields import NonEmpty


class TakenBack(NamedTuple):
    """The lines that were taken out of the record."""

    file: NonEmpty
    """The file they were taken from."""
    lines: tuple[NonEmpty, ...]
    """The lines, without their ends."""


@click.command("undo")
@book_option
@as_option()
def command(book: Path | None, form: str) -> None:
    """Take back what `did`, `skipped`, `moved` or `worked` recorded last in this book.

    Call it again to take back what was recorded before that. A line that was changed or deleted
    since then stays as it is.

    \b
    Examples:
      besom undo
      besom undo --book home/
    """
    from ledger.undo_log import forget, last_act
    from ledger.writing import Lacked, WriteFault, take_back

    workspace = open_to_write(book)
    act = last_act([tree.source for tree in workspace.trees])
    if not act:
        say("besom: no command has recorded anything in this book that can be taken back", err=True)
        raise SystemExit(FINDINGS)
    file = act[0].file
    try:
        missing = take_back(Path(file), {added.line: Lacked(added.lacked) for added in act})
    except WriteFault as fault:
        raise click.UsageError(str(fault)) from fault
    forget(act)
    if missing:
        say("besom: nothing was taken back: this line was changed or deleted since then", err=True)
        say(f"    {missing[0]}", err=True)
        say("besom: `besom undo` again takes back what was recorded before it", err=True)
        raise SystemExit(FINDINGS)
    if form == "json":
        answer = TakenBack(file, tuple(added.line for added in act))
        give(json.dumps(answer._asdict()) + "\n")
    else:
        for added in act:
            say(f"{shown_path(file)}: took back {added.line}")
    finish(workspace)

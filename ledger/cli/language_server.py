"""`besom language-server`: answers an editor, over standard input and output."""

from __future__ import annotations

import gc
import sys
from datetime import date

import click

from ledger import __version__
from ledger.cli.common import loss_messages
from ledger.cli.days import day_named, on_option
from ledger.cli.extras import needing
from ledger.cli.output import wire
from ledger.clock import today_of
from ledger.household.model import Household


@click.command("language-server")
@click.option("--stdio", is_flag=True, help="Taken and of no effect: there is no other way.")
@on_option
def command(on: str, stdio: bool) -> None:  # noqa: ARG001
    """Answer an editor, which starts this by itself: see editors/README.md.

    Speaks the Language Server Protocol over standard input and output. Needs the extra
    `editor`: pip install '.[editor]' in a copy of besom.

    \b
    Examples:
      besom language-server                   what an editor is told to run
      besom language-server --on 2026-03-04   as if it was that day
    """
    with needing("editor", "the language server needs", "pygls", "lsprotocol"):
        from ledger.editor.server import server
    if sys.stdin is not None and sys.stdin.isatty():
        raise click.UsageError(
            "an editor starts this by itself and talks to it; editors/README.md says how"
        )

    def day_of(household: Household) -> date:
        return day_named(on, today_of(household))

    day_of(Household())
    # Unlike all other commands this one runs for hours, and uncollected cycles would pile up.
    gc.enable()
    language_server = server(day_of, __version__, loss_messages)
    language_server.start_io(sys.stdin.buffer, wire())
    if language_server.fault is not None:
        raise click.ClickException(language_server.fault)
    raise SystemExit(language_server.exit_code)

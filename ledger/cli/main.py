"""The command `besom`: finds a command by its name and imports it only then."""

from __future__ import annotations

import atexit
import gc
import importlib
import sys
from collections.abc import Sequence
from typing import Any

import click

from ledger import __version__
from ledger.cli.groups import LazyGroup
from ledger.cli.output import say, show_fault

OWN_MODULES = {
    "begin": "write a first book from a few answers",
    "calendar": "the coming years for a phone or a calendar program",
    "compare": "what a change to the book does to the week",
    "did": "record what was done",
    "moved": "record that a chore is done on another day this once",
    "skipped": "record that a chore is left out this once",
    "undo": "take back what was recorded last",
    "worked": "record that some of a chore is done",
    "completion": "let a shell complete calls of besom",
    "paper": "print tags, labels, the routine and the week in true size",
    "round": "go through the list of today with the clock",
    "explain": "what a rule finds and why, or what to mind with a thing",
    "format": "bring a book into one shape",
    "git-setup": "let git compare, merge and check the book",
    "holidays": "public holidays of a country as a line of the book",
    "language-server": "answer an editor: checks, completion, renaming",
    "lighten": "the fewest moves that make a week fit its days",
    "lint": "find what is wrong in a book",
    "merge": "put two changed versions of a book together",
}


def commands() -> dict[str, str]:
    """All commands, each with a few words on what it answers."""
    from ledger.cli.reports import REPORTS

    return OWN_MODULES | {name: report.about for name, report in REPORTS.items()}


def _load(name: str) -> click.Command:
    if name not in OWN_MODULES:
        from ledger.cli.reports import report_command

        return report_command(name)
    module: Any = importlib.import_module(f"ledger.cli.{name.replace('-', '_')}")
    command: click.Command = module.command
    return command


class Besom(LazyGroup):
    """The group of all commands, which tells of whatever goes wrong below it."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command. What a wrong call is told is said by `wrong_calls`, not by Click."""
        if not standalone_mode:
            return super().main(args, prog_name, complete_var, False, **extra)
        code: int | None
        try:
            # Click would print the program's name as it was called, which may hold anything.
            code = super().main(args, prog_name or "besom", complete_var, False, **extra)
        except click.ClickException as fault:
            from ledger.cli.wrong_calls import told

            show_fault(told(fault, sys.argv[1:] if args is None else args))
            code = fault.exit_code
        except click.Abort:
            say("Aborted!", err=True)
            code = 1
        sys.exit(code or 0)


@click.group(
    cls=Besom,
    abouts=commands,
    load=_load,
    context_settings={"help_option_names": ["--help", "-h"]},
)
@click.version_option(
    __version__, "-V", "--version", message="besom %(version)s", help="Show the version and end."
)
def main() -> None:
    """Keep a home's chores in a plain-text book.

    A book is every .chores file of a home: the routine, and the record of what was done. It is
    found from any folder of the home; from elsewhere, name it, or set BESOM_BOOK.

    \b
      besom week                 what the next days hold
      besom due --on tomorrow    what to take out this evening
      besom did oven 35          put a tag back

    \b
    A command ends with
      0  when all is well,
      1  when it found something: a fault in the book, a difference, a conflict,
      2  when the call was wrong, or a file cannot be read or written.
    """
    # A command runs for a moment. To look for cycles, even at its end, would take longer than it
    # saves.
    gc.disable()
    atexit.register(gc.freeze)

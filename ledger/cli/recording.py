"""Recording: what the commands that add a line to the record share."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple, TypeVar

import click

from ledger.cli.common import (
    FINDINGS,
    PATH,
    WRONG_CALL,
    as_option,
    default_book,
    finish,
    open_books,
)
from ledger.cli.days import day_named, past_on_option
from ledger.cli.items import Known
from ledger.cli.output import can_ask, confirmed, give, say, show_text
from ledger.household.called import Called
from ledger.text.fields import NonEmpty, Pattern
from ledger.text.source import Source
from ledger.text.tree import RecordEntry, Tree
from ledger.text.writer import quoted
from ledger.workspace import Workspace

if TYPE_CHECKING:
    from ledger.report.settles import Effect

F = TypeVar("F", bound=Callable[..., None])


class Recorded(NamedTuple):
    """The line that was added to the record."""

    file: NonEmpty
    """The file it was added to."""
    line: Annotated[
        str,
        Pattern(r"^[0-9]{4}-[0-9]{2}-[0-9]{2} (?:did|skipped|moved|worked) [^\r\n]+$"),
    ]
    """The line, without its end."""


class Call(NamedTuple):
    """What every command that records is given beside its words."""

    note: str | None
    book: Path | None
    on: str
    form: str
    yes: bool


def book_option(command: F) -> F:
    """`--book PATH`."""
    return click.option(
        "--book",
        type=PATH,
        help="The file or folder of the book; by default BESOM_BOOK, else the current folder.",
    )(command)


def by_option(command: F) -> F:
    """`--by PERSON`."""
    return click.option(
        "--by",
        "people",
        multiple=True,
        metavar="PERSON",
        help="Who did it, one or more: `--by ana,leo`. Else who BESOM_ME names, if it is set.",
    )(command)


def recording_options(command: F) -> F:
    """What every command that adds a line takes."""
    for option in (
        click.option("--yes", is_flag=True, help="Ask nothing, even if it looks like a slip."),
        as_option(),
        past_on_option,
        book_option,
        click.option("--note", metavar="TEXT", help="A few words to keep with it."),
    ):
        command = option(command)
    return command


def open_to_write(book: Path | None) -> Workspace:
    """The home of a book that is to be written to. Ends with exit 2 for standard input."""
    if book == Path("-"):
        raise click.UsageError("standard input is no book to write to; name a file or a folder")
    return open_books((book,) if book else ())


class Recording:
    """A book to which one line is to be added, on a day."""

    def __init__(self, call: Call) -> None:
        """Opens the book. Ends with exit 2 for a day that is still to come."""
        self.call = call
        self.workspace = open_to_write(call.book)
        self.household = self.workspace.household
        self.today = date.fromordinal(self.household.today)
        self.day = day_named(call.on, self.today, past=True)
        if self.day > self.today:
            raise click.BadParameter(
                f"{self.day} is still to come; a record says what was done", param_hint="--on"
            )
        self.known = Known(Called(self.household.chores), Called(self.household.people))

    def add(
        self,
        verb: str,
        items: Sequence[str],
        people: Sequence[str] = (),
        refuse: Callable[[Sequence[Effect]], None] = lambda _: None,
        remark: str = "",
    ) -> None:
        """Write a line, and say what it settles, and a remark. Asks first where it looks like a
        slip; `refuse` may end the command for what the line does."""
        from ledger.report.settles import effects, settles

        note = self.call.note
        line = f"{self.day} {verb} {', '.join(items)}"
        line += f" by {', '.join(people)}" if people else ""
        line += f" {quoted(note)}" if note else ""
        entry = checked_entry(line)
        found = effects(self.household, self.day.toordinal(), entry)
        refuse(found)
        self._ask_about_slips(entry, line, found)
        path = record_path(self.workspace, self.call.book, self.day)
        append(path, lambda: ([line], self.workspace))
        if self.call.form == "json":
            # A path may hold bytes that are not UTF-8; JSON can escape them.
            give(json.dumps(Recorded(str(path), line)._asdict()) + "\n")
        else:
            from ledger.render.settles_text import settles_text

            say(f"{path}: {line}")
            show_text(settles_text(settles(found, self.day.toordinal(), verb)) + remark)
        finish(self.workspace)

    def _ask_about_slips(self, entry: RecordEntry, line: str, found: Sequence[Effect]) -> None:
        """Ask about what looks like a slip. Ends with exit 2 if it is one, or nobody can say."""
        if self.call.yes:
            return
        from ledger.report.slips import slips

        odd = slips(self.household, self.day.toordinal(), entry, found)
        if not odd:
            return
        from ledger.render.slips_text import slips_text

        show_text(slips_text(odd, self.day, line), err=True)
        if can_ask():
            if confirmed("Write it all the same?"):
                return
            say("besom: nothing was recorded", err=True)
        else:
            say("besom: nothing was recorded; if it is right, add --yes", err=True)
        raise SystemExit(WRONG_CALL)


def checked_entry(line: str) -> RecordEntry:
    """What a line says. If it cannot be read, ends with exit 1 and the findings."""
    from ledger.text.reader import Reader

    tree = Reader().read(Source("new line", line))
    if faults := tree.faults():
        from ledger.render.findings_text import finding_text

        show_text("".join(map(finding_text, faults)), err=True)
        say("besom: nothing was recorded", err=True)
        raise SystemExit(FINDINGS)
    return tree.record.entries[0]


def record_path(workspace: Workspace, book: Path | None, day: date) -> Path:
    """The file to which lines of a day are added."""
    from ledger.writing import record_file

    asked = book or default_book()
    # The book of the environment is a place to look for the home, or a file that belongs to none.
    if asked.is_file() and (book is not None or len(workspace.trees) == 1):
        return asked
    return record_file(workspace.folder, workspace.trees, day)


def append(path: Path, made: Callable[[], tuple[Sequence[str], Workspace]]) -> None:
    """Add lines to a record, as one act. They are made, with the home as it is before, once no
    other command can write there. Ends with exit 2 if the record cannot be written."""
    from ledger.undo_log import keep
    from ledger.writing import WriteFault, append_lines

    lines: Sequence[str] = ()
    trees: Sequence[Tree] = ()

    def make() -> Sequence[str]:
        nonlocal lines, trees
        lines, workspace = made()
        trees = workspace.trees
        return lines

    try:
        lacked = append_lines(path, make)
    except WriteFault as fault:
        raise click.UsageError(str(fault)) from fault
    reason = keep(path, lines, [tree.source for tree in trees], time.time(), lacked.value)
    if reason is not None:
        written = "the line is" if len(lines) == 1 else "the lines are"
        say(f"besom: {written} written, but could not be kept in the undo log ({reason})", err=True)

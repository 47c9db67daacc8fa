"""`besom did`: records what was done."""

from __future__ import annotations

import json
import re
import time
from datetime import date
from pathlib import Path
from typing import Annotated, NamedTuple

import click

from ledger.cli.common import (
    FINDINGS,
    PATH,
    as_option,
    finish,
    open_books,
)
from ledger.cli.days import day_asked, on_option
from ledger.cli.output import give, say, show_text
from ledger.household.model import Household
from ledger.text.fields import NonEmpty, Pattern
from ledger.text.source import Source
from ledger.text.tree import RecordEntry
from ledger.text.writer import quoted
from ledger.workspace import Workspace

_NUMBER = re.compile(r"[0-9]+")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_GLUED = re.compile(r"([0-9]+)(min|h)")
_MINUTES = re.compile(r"[0-9]+(?:min|h)?|min|h")


class DidAnswer(NamedTuple):
    """The line that was added to the record."""

    file: NonEmpty
    """The file it was added to."""
    line: Annotated[str, Pattern(r"^[0-9]{4}-[0-9]{2}-[0-9]{2} did [^\r\n]+$")]
    """The line, without its end."""


@click.command("did")
@click.argument("words", nargs=-1, required=True, metavar="CHORE [MINUTES]...")
@click.option(
    "--by", "people", multiple=True, metavar="PERSON", help="Who did it; may be repeated."
)
@click.option("--note", metavar="TEXT", help="A few words to keep with it.")
@click.option(
    "--book",
    type=PATH,
    default=Path(),
    help="The file or folder of the book; the current folder by default.",
)
@on_option
@as_option()
def command(
    words: tuple[str, ...],
    people: tuple[str, ...],
    note: str | None,
    book: Path,
    on: str,
    form: str,
) -> None:
    """Record what was done: adds one line to the record, and prints it.

    \b
    Examples:
      besom did oven 35                  the oven, in 35 minutes
      besom did wash-up 12 make-beds --by edie
      besom did sheets --on yesterday --note "both beds"
    """
    workspace = open_books((book,))
    household = workspace.household
    day = date.fromordinal(day_asked(on, household))
    if day.toordinal() > household.today:
        raise click.BadParameter(
            f"{day} is still to come; a record says what was done", param_hint="--on"
        )
    _refuse_marks((*words, *people))
    line = _line(day, words, people, note)
    entry = _checked_entry(household, line)
    path = _append(workspace, book, day, line)
    if form == "json":
        # A path may hold bytes that are not UTF-8; JSON can escape them.
        give(json.dumps(DidAnswer(str(path), line)._asdict()) + "\n")
    else:
        say(f"{path}: {line}")
        from ledger.render.settles_text import settles_text
        from ledger.report.settles import settles

        settled = settles(household, day.toordinal(), entry)
        show_text(settles_text(settled))
    finish(workspace)


def _refuse_marks(words: tuple[str, ...]) -> None:
    """End with exit 2 if a word would mean something else in a line of the record."""
    for word in words:
        if word == "by":
            raise click.UsageError("who did it goes after --by: `--by NAME`")
        if word in ("today", "yesterday") or _DATE.fullmatch(word):
            raise click.UsageError(f"the day goes after --on: `--on {word}`")
        for mark in '"#\n\r':
            if mark in word:
                raise click.UsageError(
                    f"{word!r} holds {mark!r}, which no name has; write other words after --note"
                )


def _line(day: date, words: tuple[str, ...], people: tuple[str, ...], note: str | None) -> str:
    """The line as a book would write it: `oven 35 sheets` becomes `oven 35 min, sheets`."""
    items: list[str] = []
    for word in " ".join(words).replace(",", " ").split():
        if items and _MINUTES.fullmatch(word):
            items[-1] += " " + _GLUED.sub(r"\1 \2", word)
        else:
            items.append(word)
    items = [f"{item} min" if _NUMBER.fullmatch(item.split()[-1]) else item for item in items]
    by = f" by {', '.join(people)}" if people else ""
    return f"{day} did {', '.join(items)}{by}" + (f" {quoted(note)}" if note else "")


def _checked_entry(household: Household, line: str) -> RecordEntry:
    """What a line says. If it cannot be read, or has a name that the household does not have, ends
    with exit 1 and the findings."""
    from ledger.household.names import Stranger, near_to
    from ledger.text.finding import Finding
    from ledger.text.reader import Reader

    source = Source("new line", line)
    tree = Reader().read(source)
    faults: list[Finding] = tree.faults()
    for entry in tree.record.entries:
        named = [
            *(("chore", item.name, household.chores) for item in entry.items),
            *(("person", person, household.people) for person in entry.people),
        ]
        for what, name, known in named:
            if name.value not in known:
                stranger = Stranger(what, name.value, near_to(known))
                faults.append(stranger.at(name.at(source, 0)))
    if faults:
        from ledger.render.findings_text import finding_text

        show_text("".join(finding_text(fault) for fault in faults), err=True)
        say("besom: nothing was recorded", err=True)
        raise SystemExit(FINDINGS)
    return tree.record.entries[0]


def _append(workspace: Workspace, book: Path, day: date, line: str) -> Path:
    from ledger.undo_log import keep
    from ledger.writing import WriteFault, append_line, record_file

    path = book if book.is_file() else record_file(book, workspace.trees, day)
    try:
        append_line(path, line)
    except WriteFault as fault:
        raise click.UsageError(str(fault)) from fault
    reason = keep(path, line, [tree.source for tree in workspace.trees], time.time())
    if reason is not None:
        say(
            f"besom: the line is written, but could not be kept in the undo log ({reason})",
            err=True,
        )
    return path

"""`besom lighten`: the fewest moves that make a week fit its days."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from ledger.cli.common import (
    as_option,
    books_argument,
    finish,
    open_books,
    show,
    show_changes,
    shown_path,
    whole_number,
)
from ledger.cli.days import day_asked, on_option
from ledger.library import MOST_MOVES
from ledger.text.source import Source
from ledger.workspace import Workspace


@click.command("lighten")
@books_argument
@on_option
@click.option(
    "--moves",
    "most",
    type=whole_number(0, MOST_MOVES),
    metavar="N",
    help="Spend up to N moves, to lower the heaviest day too.",
)
@as_option("diff", "csv", "markdown")
def command(paths: tuple[Path, ...], on: str, most: int | None, form: str) -> None:
    """Propose the fewest moves of chores that make the year ahead fit its days.

    A move puts one line under another section of the same rhythm: another day of the week,
    another weekend of the month, or any day of the week or month. What is tied to another
    chore stays, and what uses things that must never meet. No file is changed: the report
    ends with a diff, which git apply takes.

    \b
    Examples:
      besom lighten                      what to move, and why
      besom lighten --moves 3            spend three moves on lighter days
      besom lighten home/ --as diff      the change alone
    """
    workspace = open_books(paths)
    from ledger.report.lighten import lighten

    day = day_asked(on, workspace.household)
    answer, relocations = lighten(workspace.household, day, most)
    changed: Sequence[tuple[Source, Source]] = ()
    if relocations:
        from ledger.text.formatter import FormatFault
        from ledger.text.relocate import relocate

        try:
            changed = _pairs(workspace, relocate(workspace.trees, relocations))
        except FormatFault as fault:
            raise click.ClickException(f"{fault}: a bug of besom") from fault
    if form == "json":
        answer = answer._replace(diff=_in_json(changed))
    if form != "diff":
        show("lighten", answer, form)
    if form in ("text", "diff"):
        for old, new in changed:
            show_changes(old.path, old.encode(), new.encode())
    finish(workspace)


def _pairs(workspace: Workspace, changed: dict[str, Source]) -> list[tuple[Source, Source]]:
    """The files that change, as they are and as they would be."""
    return [
        (tree.source, changed[tree.source.path])
        for tree in workspace.trees
        if tree.source.path in changed
    ]


def _in_json(changed: Sequence[tuple[Source, Source]]) -> str:
    """The diffs of all files. Bytes that are not UTF-8 become lone surrogates, which JSON can
    escape."""
    if not changed:
        return ""
    from ledger.text.difference import difference

    diffs = (difference(shown_path(old.path), old.encode(), new.encode()) for old, new in changed)
    return "".join(diffs)

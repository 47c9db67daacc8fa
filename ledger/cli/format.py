"""`besom format`: brings a book into one shape."""

from __future__ import annotations

from pathlib import Path

import click

from ledger.cli.common import FINDINGS, books_argument, homes_of, rewritten, show_changes
from ledger.cli.output import give, say
from ledger.text.formatter import FormatFault, formatted
from ledger.text.reader import Reader
from ledger.text.source import Source


@click.command("format")
@books_argument
@click.option("--check", is_flag=True, help="Change nothing; end with 1 if a file would change.")
@click.option("--diff", is_flag=True, help="Change nothing; show what would change.")
@click.option("--name", default="standard input", help="What to call standard input.")
def command(paths: tuple[Path, ...], check: bool, diff: bool, name: str) -> None:
    """Bring a book into one shape: columns, order of clauses, blank lines, record by date.

    Comments stay with their lines. Lines that cannot be read stay as they are. With - as the
    book, standard input is formatted to standard output.

    \b
    Examples:
      besom format                       all files of the book in this folder
      besom format --diff home.chores    what would change
      besom format --check               for a hook or a build
    """
    unshaped = 0
    sources = [source for home in homes_of(paths, name) for source in home.asked_sources()]
    # All are formatted before the first is written, so a bug of ours changes no file.
    texts = [_formatted(source) for source in sources]
    for source, data in zip(sources, texts, strict=True):
        given = source.encode()
        piped = paths == (Path("-"),)
        if diff:
            show_changes(source.path, given, data)
        elif piped and not check:
            give(data)
        elif data != given and not check:
            rewritten(source, data, _formatted)
        if data != given:
            unshaped += 1
            if check or not (diff or piped):
                say(f"{source.path}: {'would be ' if check else ''}formatted")
    if unshaped and (check or diff):
        raise SystemExit(FINDINGS)


def _formatted(source: Source) -> bytes:
    try:
        return formatted(Reader().read(source)).encode("utf-8", "surrogateescape")
    except FormatFault as fault:
        raise click.ClickException(
            f"{fault}: formatting would change what this file says. This is a bug of besom; "
            "the file was not touched"
        ) from fault

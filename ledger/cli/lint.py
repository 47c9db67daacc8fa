"""`besom lint`: what is wrong in a book."""

from __future__ import annotations

from pathlib import Path

import click

from ledger.cli.common import (
    FINDINGS,
    as_option,
    books_argument,
    day_named,
    on_option,
    open_books,
    today_of,
)


@click.command("lint")
@books_argument
@on_option
@as_option
def command(paths: tuple[Path, ...], on: str, form: str) -> None:
    """Find what is wrong in a book, and say what to write instead.

    Ends with 0 where nothing was found, with 1 where something was.

    \b
    Examples:
      besom lint                         the book in this folder
      besom lint home.chores 2026.chores
      besom lint --as json
    """
    workspace = open_books(paths)
    today = day_named(on, today_of(workspace.household)).toordinal()
    from ledger.lint.book import Book
    from ledger.lint.engine import lint

    findings = lint(Book(workspace.trees, workspace.household, today), workspace.findings)
    files = len(workspace.trees)
    lines = sum(len(tree.source.lines) for tree in workspace.trees)
    if form == "json":
        from ledger.render.findings_json import findings_json

        click.echo(findings_json(findings, files, lines), nl=False)
    else:
        from ledger.render.findings_text import findings_text

        click.echo(findings_text(findings, files, lines), nl=False)
    if findings:
        raise SystemExit(FINDINGS)

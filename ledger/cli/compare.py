"""`besom compare`: what a change to the book does to the week."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import click

from ledger.cli.common import FINDINGS, as_option, day_named, on_option, sheet, show_json
from ledger.cli.output import give, show_text
from ledger.clock import today_of
from ledger.text.finding import Finding
from ledger.text.reader import Explained
from ledger.text.source import Source
from ledger.workspace import (
    Workspace,
    WorkspaceFault,
    find_books,
    is_folder,
    is_there,
    load_source,
    read_sources,
)


class NamedVersion(NamedTuple):
    """A version of a book, as a call names it."""

    name: str
    revision: str | None
    """A revision of git; None for files as they are."""
    path: Path


@click.command("compare")
@click.argument("old")
@click.argument("new", required=False)
@on_option
@as_option("markdown")
def command(old: str, new: str | None, on: str, form: str) -> None:
    """Say what changed between two versions of a book, and what that does to the week.

    Each is a folder, a file, or a revision of git; git's own REVISION:PATH names a part of one.
    Without NEW, a revision is compared with the files as they are. Spacing, order and comments say
    nothing. Minutes are averages of the year ahead; a chore with several days to choose from
    counts evenly on them. Ends with 0 where nothing has changed, with 1 where something has.

    \b
    Examples:
      besom compare HEAD                 what is not committed yet
      besom compare HEAD~3 home/         one folder, as it was and as it is
      besom compare main tams-branch --as markdown
    """
    try:
        named = _versions(old, new)
        explained: Explained = {}
        workspaces = [read_sources(_sources(version), explained) for version in named]
    except WorkspaceFault as fault:
        raise click.UsageError(str(fault)) from fault
    day = day_named(on, today_of(workspaces[1].household)).toordinal()
    from ledger.versions.comparison import Version, comparison

    before, after = (
        Version(version.name, workspace.household, workspace.trees)
        for version, workspace in zip(named, workspaces, strict=True)
    )
    answer = comparison(before, after, day, *_findings(workspaces, day))
    if form == "json":
        show_json(answer)
    elif form == "markdown":
        from ledger.render.compare_markdown import compare_markdown

        give(compare_markdown(answer))
    else:
        from ledger.render.compare_text import compare_text

        show_text(compare_text(answer, sheet()))
    if not answer.is_empty:
        raise SystemExit(FINDINGS)


def _versions(old: str, new: str | None) -> tuple[NamedVersion, NamedVersion]:
    """The two versions that a call names. A name that is both a path and a revision means the path.

    Raises WorkspaceFault for a name that is neither, and for a single path.
    """
    # A revision beside a path is looked up in the repository around that path.
    beside = Path(new) if new is not None and is_there(Path(new)) else Path()
    before = _version(old, beside if is_folder(beside) else beside.parent)
    if new is not None:
        after = _version(new, Path())
        if before.revision is not None and after.revision is None and ":" not in old:
            # `HEAD~3 home/` means the folder in both.
            before = before._replace(path=after.path)
        return before, after
    if before.revision is None:
        raise WorkspaceFault(
            f"{old}: is one version; name the other, such as `besom compare HEAD {old}`"
        )
    return before, NamedVersion("the files as they are", None, before.path)


def _version(name: str, folder: Path) -> NamedVersion:
    if is_there(Path(name)):
        return NamedVersion(name, None, Path(name))
    from ledger.git.books import is_revision, top_of

    revision, colon, path = name.partition(":")
    if revision and is_revision(revision, folder):
        if not colon:
            return NamedVersion(name, revision, folder)
        below = folder / path if path.startswith(("./", "../")) else top_of(folder) / path
        return NamedVersion(name, revision, below)
    if is_revision(name, folder):
        # The colon may be a part of the revision, as in `:/text of a message`.
        return NamedVersion(name, name, folder)
    raise WorkspaceFault(
        f"{name}: there is no such file or folder, and git knows no such revision here"
    )


def _sources(version: NamedVersion) -> list[Source]:
    if version.revision is None:
        return [load_source(book) for book in find_books([version.path])]
    from ledger.git.books import sources_at

    sources = sources_at(version.revision, version.path)
    if not sources:
        raise WorkspaceFault(f"{version.name}: holds no book; name the folder of your book")
    return sources


def _findings(workspaces: list[Workspace], day: int) -> tuple[list[Finding], list[Finding]]:
    """The findings that only the second book has, and those that only the first has; no shape."""
    from ledger.lint.book import LintedBook
    from ledger.lint.engine import lint
    from ledger.lint.rules import RULES
    from ledger.lint.since import new_findings

    before, after = (
        [
            finding
            for finding in lint(
                LintedBook(workspace.trees, workspace.household.on(day)), workspace.findings
            )
            if not RULES[finding.rule].is_shape
        ]
        for workspace in workspaces
    )
    return new_findings(before, after), new_findings(after, before)

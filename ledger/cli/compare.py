"""`besom compare`: what a change to the book does to the week."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from ledger.cli.common import FINDINGS, as_option, default_book, sheet, show_json
from ledger.cli.days import day_named, on_option
from ledger.cli.output import give, show_text
from ledger.clock import today_of
from ledger.homes import find_homes
from ledger.text.finding import Finding
from ledger.text.reader import Explained
from ledger.text.source import Source
from ledger.workspace import Workspace, WorkspaceFault, is_folder, is_there, read_sources

if TYPE_CHECKING:
    from ledger.versions.comparison import Comparison


class NamedVersion(NamedTuple):
    """A version of a book, as a call names it."""

    name: str
    revision: str | None
    """A revision of git; None for files as they are."""
    path: Path


class NamedBooks(NamedTuple):
    """The books of one home of a version."""

    name: str
    sources: list[Source]


@click.command("compare")
@click.argument("old")
@click.argument("new", required=False)
@on_option
@as_option("markdown")
def command(old: str, new: str | None, on: str, form: str) -> None:
    """Say what changed between two versions of a book, and what that does to the week.

    Each is a folder, a file, or a revision of git; git's own REVISION:PATH names a part of one.
    Several homes in one folder are compared one by one.
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
        pairs = _pairs(_versions(old, new))
    except WorkspaceFault as fault:
        raise click.UsageError(str(fault)) from fault
    if form == "json" and len(pairs) > 1:
        names = ", ".join(after.name for _, after in pairs)
        raise click.UsageError(f"as JSON, one home at a time is compared; here are {names}")
    answers = [_comparison(before, after, on) for before, after in pairs]
    changed = [answer for answer in answers if not answer.is_empty]
    for answer in changed or answers[:1]:
        _show(answer, form)
    if changed:
        raise SystemExit(FINDINGS)


def _show(answer: Comparison, form: str) -> None:
    if form == "json":
        show_json(answer)
    elif form == "markdown":
        from ledger.render.compare_markdown import compare_markdown

        give(compare_markdown(answer))
    else:
        from ledger.render.compare_text import compare_text

        show_text(compare_text(answer, sheet()))


def _comparison(before: NamedBooks, after: NamedBooks, on: str) -> Comparison:
    from ledger.versions.comparison import Version, comparison

    explained: Explained = {}
    workspaces = [read_sources(books.sources, explained) for books in (before, after)]
    day = day_named(on, today_of(workspaces[1].household)).toordinal()
    old, new = (
        Version(books.name, workspace.household, workspace.trees)
        for books, workspace in zip((before, after), workspaces, strict=True)
    )
    return comparison(old, new, day, *_findings(workspaces, day))


def _versions(old: str, new: str | None) -> tuple[NamedVersion, NamedVersion]:
    """The two versions that a call names. A name that is both a path and a revision means the path.

    Raises WorkspaceFault for a name that is neither, and for a single path.
    """
    # A revision beside a path is looked up in the repository around that path.
    around = _folder_of(default_book())
    beside = _folder_of(Path(new)) if new is not None and is_there(Path(new)) else around
    before = _version(old, beside)
    if new is not None:
        after = _version(new, around)
        if before.revision is not None and after.revision is None and ":" not in old:
            # `HEAD~3 home/` means the folder in both.
            before = before._replace(path=after.path)
        return before, after
    if before.revision is None:
        raise WorkspaceFault(
            f"{old}: is one version; name the other, such as `besom compare HEAD {old}`"
        )
    return before, NamedVersion("the files as they are", None, before.path)


def _folder_of(path: Path) -> Path:
    return path if is_folder(path) else path.parent


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


def _pairs(versions: tuple[NamedVersion, NamedVersion]) -> list[tuple[NamedBooks, NamedBooks]]:
    """The homes of two versions, each with the home in the same place of the other. A home that
    only one version has stands beside no books."""
    before, after = map(_homes_by_place, versions)
    if len(before) == len(after) == 1:
        one, other = (next(iter(homes.values())) for homes in (before, after))
        return [(NamedBooks(versions[0].name, one), NamedBooks(versions[1].name, other))]
    return [
        (
            NamedBooks(_name_in(versions[0], place), before.get(place, [])),
            NamedBooks(_name_in(versions[1], place), after.get(place, [])),
        )
        for place in {**before, **after}
    ]


def _homes_by_place(version: NamedVersion) -> dict[str, list[Source]]:
    """The books of each home of a version, by the folder of the home from that of the version. Of a
    file that is named, only the file."""
    if version.revision is None:
        homes = find_homes([version.path])
    else:
        from ledger.git.books import homes_at

        homes = homes_at(version.revision, [version.path])
    if not homes:
        raise WorkspaceFault(f"{version.name}: holds no book; name the folder of your book")
    return {
        os.path.relpath(home.folder, version.path) if home.is_declared else os.curdir: (
            home.asked_sources()
        )
        for home in homes
    }


def _name_in(version: NamedVersion, place: str) -> str:
    """What to call a home of a version."""
    if place == os.curdir:
        return version.name
    path = Path(os.path.normpath(version.path / place)).as_posix()
    return f"{version.revision}:{path}" if version.revision is not None else path


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

"""`besom lint`: what is wrong in a book."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import click

from ledger.cli.common import (
    FINDINGS,
    books_argument,
    default_book,
    homes_of,
    rewritten,
    sheet,
    show_changes,
    whole_number,
)
from ledger.cli.days import day_named, on_option
from ledger.cli.faults import no_such
from ledger.cli.output import give, show_text
from ledger.clock import today_of
from ledger.homes import Home
from ledger.text.finding import Finding, Severity
from ledger.text.source import Source
from ledger.workspace import Workspace, WorkspaceFault, read_sources

SEVERITIES = [severity.value for severity in Severity]
ROUNDS = 8
"""The most rounds of fixing; three are usual."""


class _Lint(click.Command):
    """Lets `--fix` stand alone: the only word that it takes as a value is `drift`."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        words: list[str] = []
        for word in args:
            if word == "drift" and words[-1:] == ["--fix=certain"]:
                words[-1] = "--fix=drift"
            else:
                words.append("--fix=certain" if word == "--fix" else word)
        return super().parse_args(ctx, words)


def _weighs(finding: Finding, severity: str) -> bool:
    """True if a finding weighs as much or more."""
    return SEVERITIES.index(finding.severity.value) <= SEVERITIES.index(severity)


@dataclass(frozen=True)
class RuleFilter:
    """Which findings are wanted."""

    only: frozenset[str]
    without: frozenset[str]
    least: str

    def of(self, findings: Sequence[Finding]) -> list[Finding]:
        """The findings that are wanted."""
        return [
            finding
            for finding in findings
            if (not self.only or finding.rule in self.only)
            and finding.rule not in self.without
            and _weighs(finding, self.least)
        ]


@click.command("lint", cls=_Lint)
@books_argument
@on_option
@click.option(
    "--as",
    "form",
    type=click.Choice(["text", "brief", "json", "sarif"]),
    default="text",
    show_default=True,
    help="Text for people; a line for each, as compilers write it; JSON or SARIF 2.1.0.",
)
@click.option("--only", multiple=True, metavar="RULE", help="Find only this; repeatable.")
@click.option("--without", multiple=True, metavar="RULE", help="Do not find this; repeatable.")
@click.option(
    "--least",
    type=click.Choice(SEVERITIES),
    default=SEVERITIES[-1],
    show_default=True,
    help="Find only what weighs this much or more.",
)
@click.option(
    "--fail-on",
    type=click.Choice(SEVERITIES),
    default=SEVERITIES[-1],
    show_default=True,
    help="End with 1 for findings that weigh this much or more.",
)
@click.option(
    "--fix",
    type=click.Choice(["certain", "drift"]),
    metavar="[drift]",
    help="Mend what is certain: shape, order, repeated lines; with drift, minutes too.",
)
@click.option("--staged", is_flag=True, help="Lint what git is about to commit.")
@click.option("--since", metavar="REVISION", help="Find only what is new since a revision of git.")
@click.option(
    "--most",
    type=whole_number(1, 999_999_999),
    metavar="N",
    help="As text, show N findings at most, the gravest.",
)
@click.option("--name", default="standard input", help="What to call standard input.")
def command(
    paths: tuple[Path, ...],
    on: str,
    form: str,
    only: tuple[str, ...],
    without: tuple[str, ...],
    least: str,
    fail_on: str,
    fix: str | None,
    staged: bool,
    since: str | None,
    most: int | None,
    name: str,
) -> None:
    """Find what is wrong in a book, and say what to write instead.

    With - as the book, standard input is read. Ends with 0 where nothing was found, with 1
    where something was.

    \b
    Examples:
      besom lint                         the book in this folder
      besom lint --fix                   mend what is certain, show each change
      besom lint --as brief              a line for each finding, for an editor
      besom lint --only overlap --as json
      besom lint --staged --since HEAD   what this commit would bring
    """
    begun = time.perf_counter()
    choice = RuleFilter(_rule_names(only), _rule_names(without), least)
    _refuse(paths, fix, staged, since)
    homes = _staged(paths) if staged else homes_of(paths, name)
    workspaces = [_as_of(home.workspace(), on) for home in homes]
    if fix is not None:
        workspaces = [_mended(workspace, fix == "drift") for workspace in workspaces]
    findings = _found(workspaces)
    if since is not None:
        findings = _new_since(since, paths, findings, on)
    findings = choice.of(findings)
    sources = [source for home in homes for source in home.asked_sources()]
    _show(findings, sources, form, begun, most)
    if any(_weighs(finding, fail_on) for finding in findings):
        raise SystemExit(FINDINGS)


def _refuse(paths: tuple[Path, ...], fix: str | None, staged: bool, since: str | None) -> None:
    """End with exit 2 for `--fix` without files to change, and for git with standard input."""
    from_input = paths == (Path("-"),)
    if fix is not None and (from_input or staged):
        what = "standard input is none" if from_input else "what is staged is none"
        raise click.UsageError(f"--fix changes files; {what}")
    if from_input and (staged or since is not None):
        raise click.UsageError("git knows nothing of standard input; name files or folders")


def _as_of(workspace: Workspace, on: str) -> Workspace:
    return workspace.on(day_named(on, today_of(workspace.household)).toordinal())


def _staged(paths: tuple[Path, ...]) -> list[Home]:
    from ledger.git.books import staged_homes

    return _from_git(staged_homes, paths)


def _from_git(read: Callable[[Sequence[Path]], list[Home]], paths: tuple[Path, ...]) -> list[Home]:
    """The homes that git has at the paths. Ends with exit 2 if git refuses."""
    try:
        return read(paths or (default_book(),))
    except WorkspaceFault as fault:
        raise click.UsageError(str(fault)) from fault


def _found(workspaces: Iterable[Workspace]) -> list[Finding]:
    """What is found in the books that were asked for, home by home."""
    from ledger.lint.book import LintedBook
    from ledger.lint.engine import lint

    return [
        finding
        for workspace in workspaces
        for finding in workspace.told(
            lint(LintedBook(workspace.trees, workspace.household), workspace.findings)
        )
    ]


def _new_since(
    revision: str, paths: tuple[Path, ...], findings: list[Finding], on: str
) -> list[Finding]:
    """The findings that the books did not have at a revision."""
    from ledger.git.books import homes_at
    from ledger.lint.since import new_findings

    homes = _from_git(lambda paths: homes_at(revision, paths), paths)
    return new_findings(_found(_as_of(home.workspace(), on) for home in homes), findings)


def _rule_names(names: tuple[str, ...]) -> frozenset[str]:
    """The rules named. Ends with exit 2 and the nearest name for one that there is not."""
    from ledger.lint.rules import RULES

    for name in names:
        if name not in RULES:
            raise no_such("rule", name, RULES, "`besom explain` lists them all")
    return frozenset(names)


def _show(
    findings: list[Finding], sources: Sequence[Source], form: str, begun: float, most: int | None
) -> None:
    files, lines = len(sources), sum(len(source.lines) for source in sources)
    if form == "json":
        from ledger.render.findings_json import findings_json

        text = findings_json(findings, files, lines)
    elif form == "sarif":
        from ledger.lint.rules import RULES
        from ledger.render.findings_sarif import findings_sarif

        text = findings_sarif(findings, RULES.values())
    elif form == "brief":
        from ledger.render.findings_text import findings_brief

        text = findings_brief(findings)
    else:
        from ledger.render.findings_text import findings_text

        text = findings_text(findings, files, lines, time.perf_counter() - begun, most, sheet())
    (show_text if form in ("text", "brief") else give)(text)


def _mended(workspace: Workspace, drift: bool) -> Workspace:
    """The workspace after its files were mended; each change is shown as it is made."""
    sources = {tree.source.path: tree.source for tree in workspace.trees}

    def again(changed: Source) -> bytes:
        now = {**sources, changed.path: changed}
        return all_mended(workspace, now, drift)[changed.path].encode()

    # All are fixed before the first is written, so a bug of ours changes no file.
    for path, mended in all_mended(workspace, sources, drift).items():
        if mended is not sources[path]:
            before, after = rewritten(sources[path], mended.encode(), again)
            show_changes(path, before, after, err=True)
            sources[path] = Source.decode(path, after)
    return _with(workspace, sources)


def _with(workspace: Workspace, sources: Mapping[str, Source]) -> Workspace:
    """The workspace with these texts, and else as it is."""
    read = read_sources(sources.values())._replace(folder=workspace.folder, asked=workspace.asked)
    return read.on(workspace.household.today)


def all_mended(
    workspace: Workspace, sources: Mapping[str, Source], drift: bool
) -> dict[str, Source]:
    """The files after every certain fix; with `drift`, drifted minutes are set right too."""
    from ledger.lint.fix import certain
    from ledger.lint.rules import drifted_minutes, not_formatted
    from ledger.text.edits import edited

    mended = dict(sources)
    # Once a line is removed, another fix may become certain.
    for _ in range(ROUNDS):
        findings = _found([_with(workspace, mended)])
        edits = certain(findings, drifted_minutes.RULE.name if drift else None)
        if not edits:
            break
        mended |= {source.path: source for source in edited(mended.values(), edits)}
    for finding in findings:
        if finding.rule == not_formatted.RULE.name:
            path = finding.place.source.path
            raise click.ClickException(f"{path}: a bug of besom; nothing was written")
    return mended

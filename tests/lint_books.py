"""Books for tests of rules: the findings of one rule, or the names of all that were found."""

from __future__ import annotations

from books import day

from ledger.cli.lint import all_mended
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.text.finding import Finding
from ledger.text.source import Source
from ledger.workspace import read_sources

TODAY = "2026-03-04"
"""A Wednesday."""


def linted(*lines: str, on: str = TODAY) -> LintedBook:
    """A book as rules look at it."""
    workspace = read_sources([Source("home.chores", "\n".join(lines) + "\n")])
    return LintedBook(workspace.trees, workspace.household.on(day(on)))


def all_found(*lines: str, on: str = TODAY) -> list[Finding]:
    """The findings of a book, but for those about spacing."""
    workspace = read_sources([Source("home.chores", "\n".join(lines) + "\n")])
    found = lint(LintedBook(workspace.trees, workspace.household.on(day(on))), workspace.findings)
    return [finding for finding in found if finding.rule != "not-formatted"]


def found_of(rule: str, *lines: str, on: str = TODAY) -> list[Finding]:
    """The findings of one rule in a book."""
    return [finding for finding in all_found(*lines, on=on) if finding.rule == rule]


def only_of(rule: str, *lines: str, on: str = TODAY) -> Finding:
    """The one finding of a rule in a book."""
    (finding,) = found_of(rule, *lines, on=on)
    return finding


def places(findings: list[Finding]) -> list[tuple[int, str]]:
    """The lines, counted from 1, and the text that findings mark."""
    return [(finding.place.line + 1, finding.place.text) for finding in findings]


def mended(text: str, on: str = TODAY) -> str:
    """What `besom lint --fix` makes of a book."""
    source = Source("a", text)
    workspace = read_sources([source]).on(day(on))
    return all_mended(workspace, {"a": source}, drift=False)["a"].text

"""Quick fixes: the fixes of a finding, tried out before they are offered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from ledger.editor.view import View
from ledger.text.edits import edited
from ledger.text.finding import UNREADABLE_LINE, Finding, Severity
from ledger.text.source import Source


class QuickFix(NamedTuple):
    """A change that takes a finding away."""

    title: str
    sources: list[Source]
    """The files that change, as they would be."""


def quick_fixes(view: View, finding: Finding) -> Iterator[QuickFix]:
    """The fixes that take a finding away, each tried in its household."""
    sources = [tree.source for tree in view.workspace.trees]
    for fix in finding.fixes:
        quick_fix = QuickFix(fix.title, edited(sources, fix.edits))
        # A fix that does not solve the fault is an example for people to read.
        if fix.solves and resolves(view, finding, quick_fix.sources):
            yield quick_fix


def resolves(
    view: View, finding: Finding, sources: Iterable[Source], only_errors: bool = True
) -> bool:
    """True if a change takes a finding away, brings no other, and loses no chore. With
    `only_errors` it may bring warnings and notes.

    Once a line can be used, other things may be wrong in it; these findings do not count.
    """
    after = view.trial(sources)
    before, now = _counted(view.findings), _counted(after.findings)
    if now[_kind(finding)] >= before[_kind(finding)]:
        return False
    if not view.household.chores.keys() <= after.household.chores.keys():
        return False
    added = now - before
    path, line = finding.place.source.path, finding.place.line
    if finding.rule == UNREADABLE_LINE.name or finding in view.trees[path].faults():
        added -= _counted(
            one
            for one in after.findings
            if one.rule not in (UNREADABLE_LINE.name, finding.rule)
            and (one.place.source.path, one.place.line) == (path, line)
        )
    return not any(kind.severity is Severity.ERROR or not only_errors for kind in added)


class _Kind(NamedTuple):
    """A finding without its line, as lines above it may come and go."""

    rule: str
    severity: Severity
    path: str
    message: str


def _kind(finding: Finding) -> _Kind:
    return _Kind(finding.rule, finding.severity, finding.place.source.path, finding.message)


def _counted(findings: Iterable[Finding]) -> Counter[_Kind]:
    return Counter(map(_kind, findings))

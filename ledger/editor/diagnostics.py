"""Diagnostics: what lint finds, as an editor shows it."""

from __future__ import annotations

from lsprotocol import types as lsp

from ledger.editor.view import View
from ledger.text.finding import Finding, Severity

SOURCE = "besom"
MOST = 500
"""The most findings shown of one file: a half-typed name can be missing on a thousand lines."""

_SEVERITIES = {
    Severity.ERROR: lsp.DiagnosticSeverity.Error,
    Severity.WARNING: lsp.DiagnosticSeverity.Warning,
    Severity.NOTE: lsp.DiagnosticSeverity.Information,
}


def diagnostics(view: View) -> dict[str, list[lsp.Diagnostic]]:
    """The diagnostics of each file of a household, by path; an empty list if there are none."""
    found: dict[str, list[lsp.Diagnostic]] = {path: [] for path in view.trees}
    counts = dict.fromkeys(found, 0)
    for finding in view.findings:
        path = finding.place.source.path
        counts[path] += 1
        if counts[path] <= MOST:
            found[path].append(diagnostic(view, finding))
    for path, count in counts.items():
        if count > MOST:
            found[path].append(_rest(view, path, count - MOST))
    return found


def diagnostic(view: View, finding: Finding) -> lsp.Diagnostic:
    """One finding: what is wrong, why it matters and what to write instead."""
    see = [lsp.DiagnosticRelatedInformation(view.location(place), "see") for place in finding.see]
    return lsp.Diagnostic(
        range=view.range(finding.place),
        message=f"{finding.message}\nwhy: {finding.why}\nfix: {finding.fix}",
        severity=_SEVERITIES[finding.severity],
        code=finding.rule,
        source=SOURCE,
        related_information=see or None,
    )


def _rest(view: View, path: str, count: int) -> lsp.Diagnostic:
    """The message about the findings that are not shown, at the top of their file."""
    return lsp.Diagnostic(
        range=view.positions(path).range(0, 0, 0),
        message=f"{count} more findings in this file; `besom lint` lists them all",
        severity=lsp.DiagnosticSeverity.Information,
        source=SOURCE,
    )

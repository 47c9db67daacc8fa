"""Findings as JSON."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.render.json_text import json_text
from ledger.text.finding import Finding, Fix
from ledger.text.source import Place


def findings_json(findings: Sequence[Finding], files: int, lines: int) -> str:
    """All findings; lines and columns count from 1, columns in characters."""
    document = {
        "files": files,
        "lines": lines,
        "findings": [
            {
                **_place(finding.place),
                "rule": finding.rule,
                "severity": finding.severity.value,
                "message": finding.message,
                "why": finding.why,
                "fix": finding.fix,
                "see": [_place(place) for place in finding.see],
                "fixes": [_fix(fix) for fix in finding.fixes],
            }
            for finding in findings
        ],
    }
    return json_text(document)


def _fix(fix: Fix) -> dict[str, object]:
    return {
        "title": fix.title,
        "certain": fix.is_certain,
        "solves": fix.solves,
        "edits": [
            {
                "file": edit.path,
                "line": edit.line + 1,
                "column": edit.start + 1,
                "end_line": edit.end_line + 1,
                "end_column": edit.end + 1,
                "new": edit.new,
            }
            for edit in fix.edits
        ],
    }


def _place(place: Place) -> dict[str, object]:
    return {
        "file": place.source.path,
        "line": place.line + 1,
        "column": place.start + 1,
        "end_column": place.end + 1,
    }

"""Findings as JSON."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.render.json_text import json_text
from ledger.text.finding import Finding
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
            }
            for finding in findings
        ],
    }
    return json_text(document)


def _place(place: Place) -> dict[str, object]:
    return {
        "file": place.source.path,
        "line": place.line + 1,
        "column": place.start + 1,
        "end_column": place.end + 1,
    }

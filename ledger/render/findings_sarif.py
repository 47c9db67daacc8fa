"""Findings in SARIF 2.1.0 (OASIS, Static Analysis Results Interchange Format, 2020)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from urllib.parse import quote

from ledger import __version__
from ledger.lint.rules import Rule
from ledger.render.json_text import json_text
from ledger.text.finding import Finding, Fix, TextEdit
from ledger.text.source import Source, TextRange

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)


def findings_sarif(findings: Sequence[Finding], ran: Iterable[Rule]) -> str:
    """All findings as one run, with the rules that ran.

    Lines and columns count from 1; columns count code points (3.14.17, `unicodeCodePoints`).
    """
    rules = [
        {
            "id": rule.name,
            "fullDescription": {"text": rule.title},
            "defaultConfiguration": {"level": rule.kind.severity.value},
        }
        for rule in ran
    ]
    places = {str(rule["id"]): index for index, rule in enumerate(rules)}
    driver = {
        "name": "besom",
        "version": __version__,
        "rules": rules,
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, places) for finding in findings],
    }
    document = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json_text(document)


def _result(finding: Finding, places: dict[str, int]) -> dict[str, object]:
    result: dict[str, object] = {
        "ruleId": finding.rule,
        "level": finding.severity.value,
        "message": {"text": f"{finding.message}. Why: {finding.why}. Fix: {finding.fix}."},
        "locations": [_location(finding.place)],
    }
    if finding.rule in places:
        result["ruleIndex"] = places[finding.rule]
    if finding.see:
        result["relatedLocations"] = [_location(place) for place in finding.see]
    fixes = [_fix(fix, finding.place.source) for fix in finding.fixes if fix.solves]
    if fixes:
        result["fixes"] = fixes
    return result


def _fix(fix: Fix, source: Source) -> dict[str, object]:
    """A fix (3.55), with the replacements of each file (3.56, 3.57)."""
    files: dict[str, list[dict[str, object]]] = {}
    for edit in fix.edits:
        files.setdefault(edit.path, []).append(_replacement(edit, source))
    return {
        "description": {"text": fix.title},
        "artifactChanges": [
            {"artifactLocation": _artifact(path), "replacements": replacements}
            for path, replacements in files.items()
        ],
    }


def _replacement(edit: TextEdit, source: Source) -> dict[str, object]:
    lines = source.lines
    if edit.path == source.path and edit.end_line == len(lines) and source.text[-1:] != "\n":
        # A region of SARIF ends inside the file.
        edit = edit._replace(end_line=len(lines) - 1, end=len(lines[-1]))
    region = {
        "startLine": edit.line + 1,
        "startColumn": edit.start + 1,
        "endLine": edit.end_line + 1,
        "endColumn": edit.end + 1,
    }
    return {"deletedRegion": region, "insertedContent": {"text": edit.new}}


def _location(place: TextRange) -> dict[str, object]:
    return {
        "physicalLocation": {
            "artifactLocation": _artifact(place.source.path),
            "region": {
                "startLine": place.line + 1,
                "startColumn": place.start + 1,
                "endColumn": place.end + 1,
            },
        }
    }


def _artifact(path: str) -> dict[str, object]:
    return {"uri": quote(path.encode("utf-8", "surrogateescape"))}

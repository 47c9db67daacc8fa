"""Findings in SARIF 2.1.0 (OASIS, Static Analysis Results Interchange Format, 2020)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from urllib.parse import quote

from ledger import __version__
from ledger.render.json_text import json_text
from ledger.text.finding import Finding
from ledger.text.source import Place

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)


def findings_sarif(findings: Sequence[Finding], abouts: Iterable[tuple[str, str]]) -> str:
    """All findings as one run. `abouts` are the rules that ran: their names, what they say.

    Lines and columns count from 1; columns count code points (3.14.17, `unicodeCodePoints`).
    """
    rules = [{"id": name, "fullDescription": {"text": about}} for name, about in abouts]
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
    return result


def _location(place: Place) -> dict[str, object]:
    return {
        "physicalLocation": {
            "artifactLocation": {
                "uri": quote(place.source.path.encode("utf-8", "surrogateescape"))
            },
            "region": {
                "startLine": place.line + 1,
                "startColumn": place.start + 1,
                "endColumn": place.end + 1,
            },
        }
    }

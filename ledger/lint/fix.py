"""Fixes: the one that formats a file, and those that `besom lint --fix` applies."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.text.edits import to_text
from ledger.text.finding import Finding, Fix, TextEdit
from ledger.text.formatter import FormatFault, formatted
from ledger.text.source import BYTE_ORDER_MARK
from ledger.text.tree import Tree


def formatting(tree: Tree) -> tuple[Fix, ...]:
    """The fix that formats a file; none where it is formatted, or where its meaning would
    change."""
    try:
        text = formatted(tree).removeprefix(BYTE_ORDER_MARK)
    except FormatFault:
        return ()
    edits = to_text(tree.source, text)
    return (Fix("Format the file", edits, is_certain=True),) if edits else ()


def certain(findings: Iterable[Finding], also: str | None = None) -> list[TextEdit]:
    """The edits of all certain fixes, and of the first fixes of the rule `also`. Of fixes that
    overlap, only the one that ends first counts: a line is deleted before its file is formatted."""
    fixes = dict.fromkeys(
        fix
        for finding in findings
        for fix in finding.fixes[:1]
        if fix.is_certain or finding.rule == also
    )
    kept: list[TextEdit] = []
    ends: dict[str, tuple[int, int]] = {}
    for fix in sorted(fixes, key=_end):
        if all((edit.line, edit.start) >= ends.get(edit.path, (0, 0)) for edit in fix.edits):
            kept += fix.edits
            ends.update((edit.path, (edit.end_line, edit.end)) for edit in fix.edits)
    return kept


def _end(fix: Fix) -> tuple[int, int, int]:
    last = fix.edits[-1]
    return last.end_line, last.end, last.end_line - last.line

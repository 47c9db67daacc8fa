"""Allowing: the comment that allows a finding, if one can."""

from __future__ import annotations

from collections.abc import Iterator

from ledger.editor.quick_fixes import QuickFix, resolves
from ledger.editor.view import View
from ledger.lint.engine import ALLOWANCE
from ledger.lint.rules import PLACEHOLDER, RULES
from ledger.text.edits import edited, over
from ledger.text.finding import Finding, Severity, TextEdit
from ledger.text.source import Source, TextRange
from ledger.text.tree import Line


def allowing(view: View, finding: Finding) -> QuickFix | None:
    """The change that allows a finding and nothing else, once a reason is written. None if no
    comment can allow it, or if someone could be hurt.

    It writes a placeholder, which allows nothing yet: the reader has to write the reason.
    """
    rule = RULES[finding.rule]
    if not rule.may_allow or (rule.is_safety and finding.severity is Severity.ERROR):
        return None
    tree = view.trees[finding.place.source.path]
    lines = {line.number: line for line in tree.lines}
    tried = _comment_edits(tree.source, finding, lines, "reason")
    for written, edit in zip(
        _comment_edits(tree.source, finding, lines, PLACEHOLDER), tried, strict=True
    ):
        if resolves(view, finding, edited([tree.source], [edit]), only_errors=False):
            return QuickFix(f"Allow {finding.rule} here", edited([tree.source], [written]))
    return None


def _comment_edits(
    source: Source, finding: Finding, lines: dict[int, Line], reason: str
) -> Iterator[TextEdit]:
    """Edits that add a comment for a line: to the comment above, at the end of the line, or as a
    new line above."""
    number = finding.place.line
    text = source.lines[number] if source.lines else ""
    indent = text[: len(text) - len(text.lstrip(" \t"))]
    above = lines.get(number - 1)
    if above is not None and above.node is None and above.comment is not None:
        allowance = ALLOWANCE.match(above.comment.value)
        if allowance is not None:
            end = above.comment.start + allowance.end("rules")
            yield over(TextRange(source, number - 1, end, end), f", {finding.rule}")
    comment = f"# allow {finding.rule}: {reason}"
    line = lines.get(number)
    if line is None or (line.comment is None and line.fault is None and line.node is not None):
        yield over(TextRange(source, number, len(text), len(text)), f"  {comment}")
    yield over(TextRange(source, number, 0, 0), indent + comment + source.newline)

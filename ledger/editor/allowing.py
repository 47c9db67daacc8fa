"""Allowing: the comment that lets a finding be, where it can be let."""

from __future__ import annotations

from collections.abc import Iterator

from ledger.editor.cures import Cure, edited, heals, with_line
from ledger.editor.view import View
from ledger.lint.engine import ALLOWANCE
from ledger.lint.rules import PLACEHOLDER, RULES
from ledger.text.finding import Finding, Severity
from ledger.text.source import Source
from ledger.text.tree import Line

_NEVER = frozenset({
    "unreadable-line", "impossible-date", "impossible-number", "missing-from", "repeated-word",
    "unfinished-merge", "unused-allow",
})  # fmt: skip
"""A line that means nothing would still come up nowhere, and nothing would tell of it."""


def allowing(view: View, finding: Finding) -> Cure | None:
    """The change that allows a finding and nothing else once a reason is written; None where no
    comment can, or where someone could be hurt.

    It writes a placeholder, which allows nothing yet: the reason is for the reader to write.
    """
    if finding.rule in _NEVER or _could_hurt(finding):
        return None
    tree = view.trees[finding.place.source.path]
    lines = {line.number: line for line in tree.lines}
    tried = _ways(tree.source, finding, lines, "reason")
    for written, source in zip(_ways(tree.source, finding, lines, PLACEHOLDER), tried, strict=True):
        if heals(view, finding, source, only_errors=False):
            return Cure(f"Allow {finding.rule} here", written)
    return None


def _could_hurt(finding: Finding) -> bool:
    rule = RULES.get(finding.rule)
    return rule is not None and rule.is_safety and finding.severity is Severity.ERROR


def _ways(
    source: Source, finding: Finding, lines: dict[int, Line], reason: str
) -> Iterator[Source]:
    """A comment more for a line: with the one above it, behind its words, or above it."""
    number = finding.place.line
    text = source.lines[number] if source.lines else ""
    indent = text[: len(text) - len(text.lstrip(" \t"))]
    above = lines.get(number - 1)
    if above is not None and above.node is None and above.comment is not None:
        found = ALLOWANCE.match(above.comment.value)
        if found is not None:
            words, end = source.lines[number - 1], above.comment.start + found.end("rules")
            yield with_line(source, number - 1, f"{words[:end]}, {finding.rule}{words[end:]}")
    comment = f"# allow {finding.rule}: {reason}"
    line = lines.get(number)
    if line is None or (line.comment is None and line.fault is None and line.node is not None):
        yield with_line(source, number, f"{text}  {comment}")
    yield edited(source, number, number, [indent + comment])

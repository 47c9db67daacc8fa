"""Allowing: the comment that lets a finding be, where it can be let."""

from __future__ import annotations

from collections.abc import Iterator

from ledger.editor.cures import Cure, edited, heals, with_line
from ledger.editor.view import View
from ledger.lint.engine import ALLOWANCE
from ledger.text.finding import Finding
from ledger.text.source import Source
from ledger.text.tree import Line

REASON = "say why"
_NEVER = frozenset({
    "unreadable-line", "impossible-date", "impossible-number", "missing-from", "repeated-word",
    "unfinished-merge", "unused-allow",
})  # fmt: skip
"""A line that means nothing would still come up nowhere, and nothing would tell of it."""


def allowing(view: View, finding: Finding) -> Cure | None:
    """The change that allows a finding and nothing else; None where no comment can."""
    if finding.rule in _NEVER:
        return None
    tree = view.trees[finding.place.source.path]
    title = f"Allow {finding.rule} here"
    for source in _ways(tree.source, finding, {line.number: line for line in tree.lines}):
        if heals(view, finding, source, only_errors=False):
            return Cure(title, source)
    return None


def _ways(source: Source, finding: Finding, lines: dict[int, Line]) -> Iterator[Source]:
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
    comment = f"# allow {finding.rule}: {REASON}"
    line = lines.get(number)
    if line is None or (line.comment is None and line.fault is None and line.node is not None):
        yield with_line(source, number, f"{text}  {comment}")
    yield edited(source, number, number, [indent + comment])

"""Allowing: the comment that lets a finding be, where it can be let."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ledger.editor.cures import Cure, edited, heals, with_line
from ledger.editor.view import View
from ledger.text.finding import Finding
from ledger.text.source import Source
from ledger.text.tree import Line

REASON = "say why"
_NEVER = frozenset({
    "unreadable-line", "impossible-date", "impossible-number", "missing-from", "repeated-word",
    "unfinished-merge", "unused-allow",
})  # fmt: skip
"""A line that means nothing would still come up nowhere, and nothing would tell of it."""
_ALLOW = re.compile(r"([ \t]*#[ \t]*allow[ \t]+[a-z, \t-]*[a-z])([ \t]*:.*)")


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
    above = _ALLOW.fullmatch(source.lines[number - 1]) if number else None
    if above is not None:
        longer = f"{above[1]}, {finding.rule}{above[2]}"
        yield with_line(source, number - 1, "", longer).source
    comment = f"# allow {finding.rule}: {REASON}"
    line = lines.get(number)
    if line is None or (line.comment is None and line.fault is None and line.node is not None):
        yield with_line(source, number, "", f"{text}  {comment}").source
    indent = text[: len(text) - len(text.lstrip(" \t"))]
    yield edited(source, number, number, [indent + comment])

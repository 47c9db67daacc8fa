"""The engine: runs the rules over a book, drops what the book allows, sorts what is left."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from ledger.lint.book import Book
from ledger.lint.rules import RULES
from ledger.text.finding import Finding
from ledger.text.tree import Tree

_ALLOW = re.compile(r"#[ \t]*allow[ \t]+(?P<rules>[a-z-]+(?:[ \t]*,[ \t]*[a-z-]+)*)[ \t]*:[ \t]*\S")


def lint(book: Book, met: Iterable[Finding]) -> list[Finding]:
    """All findings of a book in order of place: those met in reading, and those of the rules.

    A comment `# allow RULE: reason` on the line of a finding, or alone on the line above,
    drops it.
    """
    allowed = set[tuple[str, int, str]]()
    for tree in book.trees:
        allowed.update(allowances(tree))
    found = [*met]
    for rule in RULES.values():
        if rule.check is not None:
            found += rule.check(book)
    kept = (
        finding
        for finding in found
        if (finding.place.source.path, finding.place.line, finding.rule) not in allowed
    )
    return sorted(kept, key=_order)


def allowances(tree: Tree) -> Iterator[tuple[str, int, str]]:
    """The findings that a file allows: its path, a line counted from 0, and a rule."""
    path = tree.source.path
    comments = [
        (line.number, line.comment.value, line.node is None)
        for line in tree.lines
        if line.comment is not None
    ]
    comments += [
        (number, entry.comment.value, False)
        for number, entry in zip(tree.record.numbers, tree.record.entries, strict=True)
        if entry.comment is not None
    ]
    for number, comment, alone in comments:
        match = _ALLOW.match(comment)
        if match is not None:
            for rule in re.split(r"[ \t]*,[ \t]*", match["rules"]):
                yield path, number + alone, rule


def _order(finding: Finding) -> tuple[str, int, int, str, str]:
    place = finding.place
    return place.source.path, place.line, place.start, finding.rule, finding.message

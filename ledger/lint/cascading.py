"""Cascading findings: names that are unknown only as the line that declares them is at fault."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from functools import partial

from ledger.lint.book import LintedBook
from ledger.text.clauses import NamedDays
from ledger.text.finding import UNKNOWN_NAME, Finding
from ledger.text.tree import Tree

_DECLARES = ("person", "area", "days")


def without_cascading(book: LintedBook, findings: Iterable[Finding]) -> list[Finding]:
    """The findings, without unknown names that a faulty line may be meant to declare. So a chore
    that is half typed is one finding, and not one at every record line that names it."""
    names = {
        name
        for tree in book.trees
        for name in book.memory.once(
            ("names unread", tree.source.path), partial(_unread, tree), tree
        )
    }
    names -= book.household.named_days.keys()
    if not names:
        return list(findings)
    return [
        finding
        for finding in findings
        if finding.rule != UNKNOWN_NAME.name or _name(finding.place.text) not in names
    ]


def _unread(tree: Tree) -> set[str]:
    """The names that the faulty lines of a file may be meant to declare."""
    return set(_names(tree))


def _names(tree: Tree) -> Iterator[str]:
    for line in tree.lines:
        if isinstance(line.node, NamedDays):
            # Not used where it lacks a `from`, or has the name of a person.
            yield line.node.name.value
        elif line.fault is not None:
            if line.opens:
                yield from (chore.name.value for chore in tree.below(line.number))
            words = tree.source.lines[line.number].replace(",", " ").split()
            if line.taken_for == "chore":
                yield from map(_name, words[:1])
            elif words and words[0] in _DECLARES:
                yield from map(_name, words[1:2])


def _name(text: str) -> str:
    return unicodedata.normalize("NFC", text)

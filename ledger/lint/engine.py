"""The engine: runs the rules over a book, drops what the book allows, sorts what is left."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import partial
from typing import NamedTuple

from ledger.lint.book import LintedBook
from ledger.lint.cascading import without_cascading
from ledger.lint.rules import PLACEHOLDER, RULES
from ledger.lint.rules.unused_allow import RULE
from ledger.text.edits import delete, delete_name, write
from ledger.text.finding import Finding, Fix
from ledger.text.hints.merge import one_a_conflict
from ledger.text.near import nearest
from ledger.text.source import TextRange
from ledger.text.tree import Tree
from ledger.text.values import MONTHS

ALLOWANCE = re.compile(
    r"#[ \t]*allow[ \t]+(?P<rules>[a-z-]+(?:[ \t]*,[ \t]*[a-z-]+)*)[ \t]*:[ \t]*(?P<reason>\S.*)"
)
"""A comment that allows rules, with its reason."""
_MONTHS = [month[:3].title() for month in MONTHS]
_DATE = re.compile(f"([0-9]+) ({'|'.join(_MONTHS)}) ([0-9]{{4}})")
"""A date as findings write it: `4 Mar 2026`."""


class Allowance(NamedTuple):
    """A comment that drops the findings of a rule on one line."""

    path: str
    line: int
    """The line whose findings it drops, counted from 0."""
    rule: str
    place: TextRange
    """Where the comment stands."""
    name: TextRange
    """Where it names the rule."""
    holds: bool
    """False while a placeholder stands in the place of its reason."""
    removal: Fix
    """The fix that removes it. What the comment says about other rules stays."""


def lint(book: LintedBook, reading_findings: Iterable[Finding]) -> list[Finding]:
    """All findings of a book, sorted by place: those of the reader, and those of the rules.

    A comment `# allow RULE: reason` on the line of a finding, or alone on the line above,
    drops it. A comment that drops nothing is a finding itself, and so is one whose reason is
    still to be written.
    """
    allowed = [
        allowance
        for tree in book.trees
        for allowance in book.memory.once(
            ("allowances", tree.source.path), partial(allowances, tree), tree
        )
    ]
    allowed_places = {allowance[:3] for allowance in allowed if allowance.holds}
    findings = without_cascading(book, one_a_conflict([*reading_findings]))
    for rule in RULES.values():
        if rule.check is not None:
            findings += rule.check(book)
    used, remaining = set(), []
    for finding in findings:
        key = finding.place.source.path, finding.place.line, finding.rule
        if key in allowed_places:
            used.add(key)
        else:
            remaining.append(finding)
    book.memory.settle()
    remaining += (
        _unused(allowance)
        for allowance in allowed
        if not allowance.holds or allowance[:3] not in used
    )
    return sorted(remaining, key=_order)


def allowances(tree: Tree) -> list[Allowance]:
    """What the comments of a file allow."""
    return list(_allowances(tree))


def _allowances(tree: Tree) -> Iterator[Allowance]:
    source = tree.source
    comments = [
        (line.number, line.comment, line.node is None)
        for line in tree.lines
        if line.comment is not None
    ]
    record = tree.record
    if any(entry.comment for entry in record.kinds.values()):
        comments += [
            (number, entry.comment, False)
            for number, entry in zip(record.numbers, record.entries, strict=True)
            if entry.comment is not None
        ]
    for number, comment, alone in comments:
        match = ALLOWANCE.match(comment.value)
        if match is not None:
            holds = match["reason"].strip(" \t.").casefold() != PLACEHOLDER
            place, line = comment.at(source, number), number + alone
            words = list(re.finditer(r"[a-z-]+", match["rules"]))
            for word in words:
                low, high = (place.start + match.start("rules") + n for n in word.span())
                name = place._replace(start=low, end=high)
                removal = delete_name(name) if words[1:] else delete(place, "Delete the comment")
                yield Allowance(source.path, line, word[0], place, name, holds, removal)


def _unused(allowance: Allowance) -> Finding:
    why = "it allows nothing now, and would hide the next fault of its kind"
    fixes = [allowance.removal]
    if not allowance.holds:
        message = f'"{PLACEHOLDER}" is no reason'
        why = f"it allows nothing until it says why {allowance.rule} may stand here"
        fix = "put the reason behind the colon, or mend the line and delete the comment"
    elif allowance.rule in RULES:
        message = f"nothing on its line is `{allowance.rule}`"
        fix = "delete the comment, or move it to the line that it is about"
    else:
        near = nearest(allowance.rule, RULES)
        message = f'there is no rule "{allowance.rule}"'
        fixes = [write(allowance.name, near)] if near else []
        fix = f"{fixes[0].words}, the closest" if near else "`besom explain` lists the rules"
    return RULE.finding(allowance.place, message, why, fix, fixes=fixes)


def _order(finding: Finding) -> tuple[str, int, int, str, tuple[int, ...], str]:
    """By place and rule, then by the day that the message names."""
    place, message = finding.place, finding.message
    return place.source.path, place.line, place.start, finding.rule, _day_in(message), message


def _day_in(message: str) -> tuple[int, ...]:
    """The year, month and day of the first date in a message; empty without one."""
    found = _DATE.search(message)
    return (int(found[3]), _MONTHS.index(found[2]), int(found[1])) if found else ()

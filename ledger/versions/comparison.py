"""Comparison: all that is to be said of a change to a book."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from ledger.household.model import Household
from ledger.text.finding import Finding
from ledger.text.tree import Tree
from ledger.versions.compare import Change, compare
from ledger.versions.effect import Effect, effect
from ledger.versions.record_changes import RecordChange, compare_records


class Version(NamedTuple):
    """One version of a book."""

    name: str
    """What the reader calls it."""
    household: Household
    trees: Sequence[Tree]
    """Its files, as they were read."""


class Found(NamedTuple):
    """A finding of the linter, as a comparison tells it."""

    rule: str
    severity: str
    file: str
    line: int
    """Counted from 1."""
    message: str


class Comparison(NamedTuple):
    """What changed from one version of a book to another, and what that does."""

    before: str
    after: str
    """What the two versions are called."""
    on: date
    """The day from which the effect is reckoned."""
    changes: tuple[Change, ...]
    record: tuple[RecordChange, ...]
    effect: Effect
    brought: tuple[Found, ...]
    """Findings that the change brings."""
    ended: tuple[Found, ...]
    """Findings that it ends."""

    @property
    def is_empty(self) -> bool:
        """True where the two versions mean the same, and are found the same fault with."""
        return not (self.changes or self.record or self.brought or self.ended)


def comparison(
    before: Version,
    after: Version,
    day: int,
    brought: Sequence[Finding],
    ended: Sequence[Finding],
) -> Comparison:
    """The comparison of two versions of a book, with its effect from a day on, given which
    findings of the linter the change brings and ends."""
    changes = compare(before.household, after.household)
    renamed = {
        change.was: change.name
        for change in changes
        if (change.what, change.kind) == ("chore", "renamed")
    }
    return Comparison(
        before=before.name,
        after=after.name,
        on=date.fromordinal(day),
        changes=changes,
        record=compare_records(before.trees, after.trees, renamed),
        effect=effect(before.household, after.household, day),
        brought=tuple(map(_found, brought)),
        ended=tuple(map(_found, ended)),
    )


def _found(finding: Finding) -> Found:
    place = finding.place
    severity = finding.severity.value
    return Found(finding.rule, severity, place.source.path, place.line + 1, finding.message)

"""Comparison: all that there is to say about a change to a book."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Annotated, NamedTuple

from ledger.household.model import Household
from ledger.text.fields import FileName, LineNumber, OneOf
from ledger.text.finding import Finding, Severity
from ledger.text.tree import Tree
from ledger.versions.compare import Change, compare
from ledger.versions.effect import Effect, effect
from ledger.versions.record_changes import RecordChange, compare_records


class Version(NamedTuple):
    """One version of a book."""

    name: str
    """What the user calls it."""
    household: Household
    trees: Sequence[Tree]
    """Its files, as they were read."""


class ComparedFinding(NamedTuple):
    """A finding of the linter, as part of a comparison."""

    rule: str
    """The rule."""
    severity: Annotated[str, OneOf(*(one.value for one in Severity))]
    """How severe it is."""
    file: FileName
    line: LineNumber
    message: str
    """What is wrong, in one sentence."""


class Comparison(NamedTuple):
    """What changed from one version of a book to another, and what that does to the week."""

    before: str
    """What the earlier version is called."""
    after: str
    """What the later version is called."""
    on: date
    """The first of the 366 days that the effect is about."""
    changes: tuple[Change, ...]
    """What changed in the routine and its declarations."""
    record: tuple[RecordChange, ...]
    """Lines of the record that differ, in order of date."""
    effect: Effect
    """What the change does to the days and the people."""
    brought: tuple[ComparedFinding, ...]
    """Findings of the linter that the change brings."""
    ended: tuple[ComparedFinding, ...]
    """Findings of the linter that the change ends."""

    @property
    def is_empty(self) -> bool:
        """True where the two versions mean the same and have the same findings."""
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
        brought=tuple(map(_compared_finding, brought)),
        ended=tuple(map(_compared_finding, ended)),
    )


def _compared_finding(finding: Finding) -> ComparedFinding:
    place = finding.place
    severity = finding.severity.value
    return ComparedFinding(
        finding.rule, severity, place.source.path, place.line + 1, finding.message
    )

"""Comparison: all that is to be said of a change to a book."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from ledger.household.model import Household
from ledger.text.finding import Finding
from ledger.versions.compare import Change, compare
from ledger.versions.effect import Effect, effect
from ledger.versions.record_changes import RecordChange, compare_records


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
    names: tuple[str, str],
    before: Household,
    after: Household,
    day: int,
    brought: list[Finding],
    ended: list[Finding],
) -> Comparison:
    """The comparison of two versions of a household, given what the linter finds of each."""
    return Comparison(
        *names,
        on=date.fromordinal(day),
        changes=compare(before, after),
        record=compare_records(before.log, after.log),
        effect=effect(before, after, day),
        brought=tuple(map(_found, brought)),
        ended=tuple(map(_found, ended)),
    )


def _found(finding: Finding) -> Found:
    place = finding.place
    severity = finding.severity.value
    return Found(finding.rule, severity, place.source.path, place.line + 1, finding.message)

"""Findings as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, NamedTuple

from ledger.render.as_json import to_json
from ledger.text.fields import (
    Bounds,
    Count,
    FileName,
    LineNumber,
    NonEmpty,
    OneOf,
    Pattern,
    Positive,
)
from ledger.text.finding import Finding, Fix, Severity, TextEdit
from ledger.text.source import TextRange

Column = Positive
"""The column of the first character, counted in characters (code points) from 1."""
EndColumn = Positive
"""The column after the last character."""


class Stretch(NamedTuple):
    """A range within one line of a file."""

    file: FileName
    line: LineNumber
    column: Column
    end_column: EndColumn


class Edit(NamedTuple):
    """New text for a range of a file."""

    file: FileName
    line: Positive
    """The line in which the range begins, counted from 1. The number after the last line means the
    end of the file."""
    column: Column
    end_line: Positive
    """The line in which it ends."""
    end_column: Positive
    """The column of the first character that stays."""
    new: str
    """What to put in its place."""


class Mending(NamedTuple):
    """One way to mend a fault."""

    title: NonEmpty
    """What it does, in a few words."""
    certain: bool
    """True if nothing is lost and no date or turn changes: `besom lint --fix` applies it."""
    solves: bool
    """False if somebody still has to fill something in before the fault is gone."""
    edits: Annotated[tuple[Edit, ...], Bounds(1)]
    """The edits. Their places are those of the text as it was read; no two overlap."""


class Fault(NamedTuple):
    """One fault: where it is, what it is, why it matters and what to write."""

    file: FileName
    line: LineNumber
    column: Column
    end_column: EndColumn
    rule: Annotated[str, Pattern("^[a-z]+(-[a-z]+)*$")]
    """The rule, by the name that a comment allows it with."""
    severity: Annotated[str, OneOf(*(one.value for one in Severity))]
    """`error`: the book means nothing there, or someone could be hurt. `warning`: it is read as
    written, and will go wrong. `note`: nothing is wrong; something could be better."""
    message: NonEmpty
    """What is wrong, in a sentence."""
    why: NonEmpty
    """Why that matters."""
    fix: NonEmpty
    """What to write instead."""
    see: tuple[Stretch, ...]
    """Other places that belong to the fault."""
    fixes: tuple[Mending, ...]
    """The ways to mend it without asking anybody, the likeliest first."""


class Found(NamedTuple):
    """What was found in a book."""

    files: Positive
    """How many files were read."""
    lines: Count
    """How many lines they have together."""
    findings: tuple[Fault, ...]
    """The findings in order of file, line and column."""


def findings_json(findings: Sequence[Finding], files: int, lines: int) -> str:
    """All findings; lines and columns count from 1, columns in characters."""
    return to_json(Found(files, lines, tuple(map(_fault, findings))))


def _fault(finding: Finding) -> Fault:
    return Fault(
        *_stretch(finding.place),
        rule=finding.rule,
        severity=finding.severity.value,
        message=finding.message,
        why=finding.why,
        fix=finding.fix,
        see=tuple(map(_stretch, finding.see)),
        fixes=tuple(map(_mending, finding.fixes)),
    )


def _mending(fix: Fix) -> Mending:
    return Mending(fix.title, fix.is_certain, fix.solves, tuple(map(_edit, fix.edits)))


def _edit(edit: TextEdit) -> Edit:
    start, end = (edit.line + 1, edit.start + 1), (edit.end_line + 1, edit.end + 1)
    return Edit(edit.path, *start, *end, edit.new)


def _stretch(place: TextRange) -> Stretch:
    return Stretch(place.source.path, place.line + 1, place.start + 1, place.end + 1)

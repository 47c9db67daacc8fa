"""A comparison in words, line by line, for text and for Markdown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.render.layout import short_day
from ledger.text.words import counted, duration
from ledger.versions.compare import Change, Difference
from ledger.versions.comparison import ComparedFinding
from ledger.versions.effect import Heaviest, Row
from ledger.versions.record_changes import RecordChange

MANY = 12
"""The most lines that are shown; the rest are counted."""
_KINDS = ("added", "retired", "renamed", "moved", "changed")
_WITHOUT_KEYWORD = ("", "container", "cadence", "minutes")
"""Clauses that a book writes without a keyword."""


def change_lines(changes: Sequence[Change]) -> Iterator[str]:
    """The changes in words: `moved oven: weekend 1 -> weekend 2`; chores by kind of change."""
    yield from (_change(one) for one in changes if one.what != "chore")
    for kind in _KINDS:
        yield from (_change(one) for one in changes if (one.what, one.kind) == ("chore", kind))


def _change(change: Change) -> str:
    name = change.name if change.what in ("chore", "setting") else f"{change.what} {change.name}"
    if change.kind == "renamed":
        name = f"{name}, which was {change.was}"
    elif change.kind == "changed" and change.container:
        name += f" ({change.container})"
    is_out = change.kind == "retired" and change.what != "chore"
    kind = "taken out" if is_out else change.kind
    details = "; ".join(
        _difference(one, change) for one in change.differences if _is_shown(one, change)
    )
    return f"{kind} {name}" + (f": {details}" if details else "")


def _is_shown(difference: Difference, change: Change) -> bool:
    """False for a title that only repeats the name."""
    return change.kind not in ("added", "retired") or change.name not in (
        difference.before,
        difference.after,
    )


def _difference(difference: Difference, change: Change) -> str:
    if difference.clause == "paused":
        return "paused" if difference.after else "resumed"
    before, after = difference.before, difference.after
    is_flag = difference.clause in (before, after)
    word = "" if is_flag or difference.clause in _WITHOUT_KEYWORD else f"{difference.clause} "
    if difference.clause == "title" or (
        difference.clause == "" and change.what in ("person", "area", "away", "rest")
    ):
        before, after = (f'"{text}"' if text else "" for text in (before, after))
    if change.kind in ("added", "retired"):
        return word + (after or before)
    if before and after:
        return f"{word}{before} -> {after}"
    return f"now {word}{after}" if after else f"no longer {word}{before}"


def record_lines(changes: Sequence[RecordChange]) -> Iterator[str]:
    """The changes to the record: changed and removed lines first, then added ones."""
    added = [change for change in changes if change.kind == "added"]
    others = [change for change in changes if change.kind != "added"]
    for change in others[:MANY]:
        if change.kind == "changed":
            yield f"changed {change.day} {change.before} -> {change.after}"
        else:
            yield f"taken out {change.day} {change.before}"
    if len(others) > MANY:
        yield f"and {len(others) - MANY} more changed or taken out"
    if len(added) > MANY:
        yield f"added {counted(len(added), 'line', 'lines')}, {added[0].day} to {added[-1].day}"
    else:
        yield from (f"added {change.day} {change.after}" for change in added)


def finding_lines(findings: Sequence[ComparedFinding]) -> Iterator[str]:
    """Findings in their order; those with the same message are one line with their number."""
    alike: dict[tuple[str, str], list[ComparedFinding]] = {}
    for finding in findings:
        alike.setdefault((finding.rule, finding.message), []).append(finding)
    for first, *others in list(alike.values())[:MANY]:
        text = f"{first.file}:{first.line} {first.severity}: {first.message} [{first.rule}]"
        yield text + (f", and {counted(len(others), 'line', 'lines')} more" if others else "")
    if len(alike) > MANY:
        yield f"and {len(alike) - MANY} more; `besom lint` tells them all"


def changed(rows: Sequence[Row]) -> list[Row]:
    """The rows whose shown minutes differ."""
    return [row for row in rows if duration(row.before) != duration(row.after)]


def by(row: Row) -> str:
    """The difference of a row in words."""
    gap = round(row.after) - round(row.before)
    return f"{duration(abs(gap))} {'more' if gap > 0 else 'less'}"


def heaviest_line(before: Heaviest | None, after: Heaviest | None) -> str | None:
    """The heaviest day before and after, or None if both read the same."""
    texts = [
        f"{short_day(one.day)}, {duration(one.minutes)}" if one else "none"
        for one in (before, after)
    ]
    return None if texts[0] == texts[1] else f"The heaviest day: {texts[0]} -> {texts[1]}"

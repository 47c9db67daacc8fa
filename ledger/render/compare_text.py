"""A comparison of two versions of a book as text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.render.layout import columns, counted, long_day, minutes, safe, short_day, wrap
from ledger.versions.compare import Change, Difference
from ledger.versions.comparison import Comparison, Found
from ledger.versions.effect import Heaviest, Row
from ledger.versions.record_changes import RecordChange

MANY = 12
"""Lines of the record told one by one; of more the first are, and the rest counted."""


def compare_text(answer: Comparison) -> str:
    """What changed and what that does, for people, in 80 columns."""
    lines = [wrap(f"From {safe(answer.before)} to {safe(answer.after)}", 2)]
    if answer.is_empty:
        return "\n".join([*lines, "", "Nothing has changed."]) + "\n"
    lines += _part("The book", map(change_line, answer.changes))
    lines += _part("The record", record_lines(answer.record))
    lines += _effect(answer)
    lines += _part("Lint finds, and did not before", map(_finding, answer.brought))
    lines += _part("Lint finds no more", map(_finding, answer.ended))
    return "\n".join(lines) + "\n"


def _part(heading: str, lines: Iterator[str]) -> list[str]:
    found = [f"  {wrap(line, 6)}" for line in lines]
    return ["", heading, *found] if found else []


def change_line(change: Change) -> str:
    """A change in words: `moved  sheets: every weekend -> every week`."""
    name = change.name if change.what in ("chore", "setting") else f"{change.what} {change.name}"
    if change.kind == "renamed":
        name = f"{change.was} -> {name}"
    said = "; ".join(
        _difference(one, change.kind)
        for one in change.differences
        if change.kind != "renamed" or one.before != one.after
    )
    return f"{change.kind} {safe(name)}" + (f": {safe(said)}" if said else "")


def _difference(one: Difference, kind: str) -> str:
    clause = "" if one.clause in ("", "container", "minutes") else f"{one.clause} "
    if kind in ("added", "retired"):
        return clause + (one.after or one.before)
    return f"{clause}{one.before or 'nothing'} -> {one.after or 'nothing'}"


def record_lines(changes: Sequence[RecordChange]) -> Iterator[str]:
    """The changes to the record: those that changed or are gone first, then how many came."""
    added = [change for change in changes if change.kind == "added"]
    others = [change for change in changes if change.kind != "added"]
    for change in others[:MANY]:
        yield f"{change.kind} {change.day} {safe(_record(change))}"
    if len(others) > MANY:
        yield f"and {len(others) - MANY} more changed or retired"
    if len(added) > MANY:
        yield (f"added {counted(len(added), 'line', 'lines')}, {added[0].day} to {added[-1].day}")
    else:
        for change in added:
            yield f"added {change.day} {safe(change.after)}"


def _record(change: RecordChange) -> str:
    return f"{change.before} -> {change.after}" if change.after else change.before


def _effect(answer: Comparison) -> list[str]:
    effect = answer.effect
    rows = [
        *changed(effect.days),
        *changed(effect.weekends),
        *changed([effect.week._replace(name="the week together")]),
    ]
    people = changed(effect.people)
    lines = []
    if rows or people:
        lines += ["", f"Minutes, on average of the year from {long_day(answer.on)}"]
        lines += _table([*rows, *(row._replace(name=f"{row.name}, a week") for row in people)])
    if effect.heaviest_before != effect.heaviest_after and rows:
        heaviest = f"{_heaviest(effect.heaviest_before)} -> {_heaviest(effect.heaviest_after)}"
        lines += ["", wrap(f"The heaviest day: {heaviest}", 2)]
    return lines


def changed(rows: Sequence[Row]) -> list[Row]:
    """The rows whose minutes differ, as they are shown."""
    return [row for row in rows if minutes(row.before) != minutes(row.after)]


def _table(rows: Sequence[Row]) -> list[str]:
    cells = [
        (safe(row.name), minutes(row.before), "->", minutes(row.after), by(row)) for row in rows
    ]
    return [f"  {line}" for line in columns(cells, frozenset({1, 3}))]


def by(row: Row) -> str:
    """By how much a row has changed."""
    gap = round(row.after) - round(row.before)
    return f"{minutes(abs(gap))} {'more' if gap > 0 else 'less'}"


def _heaviest(one: Heaviest | None) -> str:
    return f"{short_day(one.day)}, {minutes(one.minutes)}" if one else "none"


def _finding(found: Found) -> str:
    return f"{safe(found.file)}:{found.line} {found.severity}: {safe(found.message)} [{found.rule}]"

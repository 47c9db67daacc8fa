"""Patches a log after a small change of one file, instead of building it anew."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import NamedTuple, TypeVar

from ledger.household.record import Log
from ledger.text.changed import ChangedLines, changed
from ledger.text.source import Source
from ledger.text.tree import Record, RecordEntry

T = TypeVar("T")

FEW = 64
"""A log is patched if no more lines than this change at once."""


class _Row(NamedTuple):
    """A line of a log."""

    date: int
    entry: RecordEntry
    file: int
    line: int


class _Splice(NamedTuple):
    """Rows that replace others; the splices of a log are in order and do not overlap."""

    start: int
    end: int
    rows: tuple[_Row, ...]


class Patch(NamedTuple):
    """A log after some lines were added and removed."""

    log: Log
    removed: Sequence[RecordEntry]
    """The different entries that it no longer has."""
    added: Sequence[RecordEntry]
    """The different entries of the added lines."""


def relogged(
    log: Log, file: int, before: Record, after: Record, sources: Sequence[Source]
) -> Patch | None:
    """The log after the record of one file changed; None if too much changed.

    A chore keeps its story if none of its lines changed.
    """
    stretch = _stretch(before, after)
    if stretch.size > FEW:
        return None
    removed_rows = {
        _row_index(log, file, before.dates[row], before.numbers[row])
        for row in range(stretch.first, stretch.end)
    }
    lines = _renumbered(log, file, before, after, stretch)
    new = _new_rows(log, file, after, stretch, lines)
    splices = sorted([*(_Splice(index, index + 1, ()) for index in removed_rows), *new])
    entries = _spliced(log.entries, splices, lambda row: row.entry)
    index = _index(log, splices)
    added = {id(row.entry): row.entry for splice in new for row in splice.rows}
    old = {id(log.entries[position]): log.entries[position] for position in removed_rows}
    removed = [entry for entry in old.values() if not _is_present(entry, index, entries)]
    kinds = {**log.kinds, **added}
    for entry in removed:
        del kinds[id(entry)]
    changed_entries = {**old, **added}.values()
    touched = {item.name.value for entry in changed_entries for item in entry.items}
    patched = Log(
        _spliced(log.dates, splices, lambda row: row.date),
        entries,
        kinds,
        _spliced(log.files, splices, lambda row: row.file),
        _spliced(lines, splices, lambda row: row.line),
        sources,
        stories={name: object() if name in touched else log.stories[name] for name in index},
    )
    patched.__dict__["by_chore"] = index
    if "moves" in log.__dict__:
        patched.__dict__["moves"] = _moves(log, patched, touched)
    return Patch(patched, removed, list(added.values()))


def _stretch(before: Record, after: Record) -> ChangedLines:
    """The lines of a record that changed. Entries are compared by identity: equal ones may
    differ in a comment and in their places."""
    keys = list(map(id, before.entries)), list(map(id, after.entries))
    return changed((before.dates, after.dates), keys)


def _row_index(log: Log, file: int, date: int, line: int) -> int:
    """The index in the log of a line of a file."""
    low, high = _of_day(log, date)
    return next(i for i in range(low, high) if log.files[i] == file and log.lines[i] == line)


def _of_day(log: Log, date: int) -> tuple[int, int]:
    low = bisect_left(log.dates, date)
    return low, bisect_right(log.dates, date, low)


def _renumbered(
    log: Log, file: int, before: Record, after: Record, stretch: ChangedLines
) -> Sequence[int]:
    """The new line numbers of a log; removed lines keep their old ones."""
    old = [*before.numbers[: stretch.first], *before.numbers[stretch.end :]]
    new = [*after.numbers[: stretch.first], *after.numbers[stretch.new_end :]]
    if old == new:
        return log.lines
    known = dict(zip(old, new, strict=True))
    low, high = _of_day(log, min(before.dates))[0], _of_day(log, max(before.dates))[1]
    files = log.files
    part = [
        known.get(line, line) if files[index] == file else line
        for index, line in enumerate(log.lines[low:high], low)
    ]
    return [*log.lines[:low], *part, *log.lines[high:]]


def _new_rows(
    log: Log,
    file: int,
    after: Record,
    stretch: ChangedLines,
    lines: Sequence[int],
) -> list[_Splice]:
    """The added rows, each placed before the row that follows it: lines of one day are in order
    of file, then of line."""
    rows: dict[int, list[_Row]] = {}
    span = range(stretch.first, stretch.new_end)
    for row in sorted(span, key=after.dates.__getitem__):
        date, number = after.dates[row], after.numbers[row]
        low, high = _of_day(log, date)
        later = (
            index for index in range(low, high) if (log.files[index], lines[index]) > (file, number)
        )
        at = next(later, high)
        rows.setdefault(at, []).append(_Row(date, after.entries[row], file, number))
    return [_Splice(at, at, tuple(new)) for at, new in rows.items()]


def _spliced(
    column: Sequence[T], splices: Iterable[_Splice], field: Callable[[_Row], T]
) -> list[T]:
    """A column with one field of the new rows in place of the old."""
    out: list[T] = []
    at = 0
    for start, end, rows in splices:
        out += column[at:start]
        out += map(field, rows)
        at = end
    out += column[at:]
    return out


def _index(log: Log, splices: Sequence[_Splice]) -> dict[str, Sequence[int]]:
    """For each name in the record, the indices of its lines after the splices."""
    new: dict[str, list[int]] = {}
    shift = 0
    for start, end, rows in splices:
        for position, row in enumerate(rows, start + shift):
            for name in {item.name.value for item in row.entry.items}:
                new.setdefault(name, []).append(position)
        shift += len(rows) - (end - start)
    index: dict[str, Sequence[int]] = {}
    for name in dict.fromkeys((*log.by_chore, *new)):
        old = log.by_chore.get(name, ())
        positions = _shifted(old, splices, new.get(name, []))
        if positions:
            index[name] = positions
    return index


def _shifted(positions: Sequence[int], splices: Iterable[_Splice], new: list[int]) -> Sequence[int]:
    """Indices of a log's rows after the splices, with those of new rows."""
    out: list[int] = []
    at = shift = 0
    for start, end, rows in splices:
        stop = bisect_left(positions, start, at)
        out += (
            [position + shift for position in positions[at:stop]] if shift else positions[at:stop]
        )
        at = bisect_left(positions, end, stop)
        shift += len(rows) - (end - start)
    out += [position + shift for position in positions[at:]] if shift else positions[at:]
    return sorted([*out, *new]) if new else out


def _is_present(
    entry: RecordEntry, index: Mapping[str, Sequence[int]], entries: Sequence[RecordEntry]
) -> bool:
    """True if any line of a log has an entry."""
    positions = index.get(entry.items[0].name.value, ())
    return any(entries[position] is entry for position in positions)


def _moves(log: Log, patched: Log, touched: Collection[str]) -> dict[str, Sequence[int]]:
    """As `Log.moves` of the patched log; `touched` are the names whose lines changed."""
    moves = {name: days for name, days in log.moves.items() if name not in touched}
    for name in touched:
        positions = patched.by_chore.get(name, ())
        days = [patched.dates[i] for i in positions if patched.entries[i].to]
        if days:
            moves[name] = days
    return moves

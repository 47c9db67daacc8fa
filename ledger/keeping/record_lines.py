"""Record lines: the lines of the record as one chore sees them."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from ledger.household.record import Log


class RecordReference(NamedTuple):
    """A line of the record as one chore sees it."""

    day: int
    verb: str
    to: int | None
    """The day that `moved` names."""
    line: int
    """Index of the line in the log."""
    people: tuple[str, ...]
    """The people it names; it speaks for these only."""

    def speaks_for(self, person: str | None) -> bool:
        """True if it counts for a person's share, or for None for the chore of all."""
        return person is None or not self.people or person in self.people


def lines_of(
    log: Log, chore: str, low: int | None = None, high: int | None = None
) -> list[RecordReference]:
    """The lines that name a chore, dated from day `low` to `high`, in order."""
    return [_reference(log, index) for index in _positions(log, chore, low, high)]


def latest_lines(log: Log, chore: str, day: int) -> Iterator[RecordReference]:
    """As `lines_of`, for all lines up to a day and the latest first."""
    positions = log.by_chore.get(chore, ())
    end = bisect_right(positions, day, key=log.dates.__getitem__)
    return (_reference(log, positions[place]) for place in range(end - 1, -1, -1))


def last_done(log: Log, chore: str, day: int, person: str | None = None) -> RecordReference | None:
    """The latest line up to a day that says a chore, or a person's share of it, was done."""
    lines = latest_lines(log, chore, day)
    return next((line for line in lines if line.verb == "did" and line.speaks_for(person)), None)


def worked_minutes(log: Log, chore: str, line: RecordReference) -> int:
    """The minutes that a line gives for a chore."""
    return sum(log.minutes(line.line, chore))


def _reference(log: Log, index: int) -> RecordReference:
    entry = log.entries[index]
    people = tuple(name.value for name in entry.people) if entry.people else ()
    to = entry.to.value if entry.to else None
    return RecordReference(log.dates[index], entry.verb, to, index, people)


def _positions(log: Log, chore: str, low: int | None, high: int | None) -> Sequence[int]:
    positions = log.by_chore.get(chore, ())
    dates = log.dates
    start = 0 if low is None else bisect_left(positions, low, key=dates.__getitem__)
    end = len(positions) if high is None else bisect_right(positions, high, key=dates.__getitem__)
    return positions[start:end]

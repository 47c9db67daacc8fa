"""Progress: what a round has come to, and the lines of the record that it makes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import NamedTuple

from ledger.evening.clock import whole_minutes
from ledger.evening.rows import Key, Row
from ledger.text.words import duration
from ledger.text.writer import quoted


class Mark(NamedTuple):
    """What was said of a row."""

    ticked: bool = False
    given: int | None = None
    """The minutes that were typed."""
    seconds: float = 0.0
    """What the clock has counted."""

    @property
    def worked(self) -> int | None:
        """Minutes that the clock has counted; None if it has not."""
        return whole_minutes(self.seconds)

    @property
    def minutes(self) -> int | None:
        """How long it took once it is done; None where that is not known."""
        return self.worked if self.given is None else self.given


UNMARKED = Mark()


class Counting(NamedTuple):
    """A clock that runs."""

    key: Key
    since: float
    """When it was started, in seconds since 1970."""
    seen: float
    """Until when it is known that the round was still gone."""


@dataclass(frozen=True)
class Progress:
    """All of a round that must not be lost."""

    day: int
    """The day on which it began."""
    began: float
    """When it began, in seconds since 1970."""
    who: str | None = None
    """Who goes the round; None for nobody in particular."""
    marks: Mapping[Key, Mark] = field(default_factory=dict)
    skips: Mapping[str, str] = field(default_factory=dict)
    """Chores that are left out this once, and why; empty for no reason."""
    counting: Counting | None = None
    accepted: frozenset[tuple[str, ...]] = frozenset()
    """Chores that must be kept apart, of which it was said that both are done all the same."""
    written: Mapping[str, int] = field(default_factory=dict)
    """The lines that are being added to the record, and how many equal ones it held before."""

    def mark(self, key: Key) -> Mark:
        """What was said of a row."""
        return self.marks.get(key, UNMARKED)

    def with_mark(self, key: Key, mark: Mark) -> Progress:
        """The progress with something else said of a row."""
        return replace(self, marks={**self.marks, key: mark})

    def seconds(self, key: Key, now: float) -> float:
        """What the clock has counted of a row by now."""
        running = self.counting
        more = now - running.since if running is not None and running.key == key else 0.0
        # A clock that was set back takes nothing away.
        return self.mark(key).seconds + max(0.0, more)

    def stopped(self, now: float) -> Progress:
        """The progress with its clock stopped."""
        if self.counting is None:
            return self
        key = self.counting.key
        counted_so_far = self.mark(key)._replace(seconds=self.seconds(key, now))
        return replace(self.with_mark(key, counted_so_far), counting=None)

    def is_ticked(self, key: Key) -> bool:
        """True if a row is ticked."""
        return self.mark(key).ticked

    def is_skipped(self, row: Row) -> bool:
        """True if a row is left out this once."""
        return row.key.chore in self.skips and not self.is_ticked(row.key)

    def is_touched(self, key: Key) -> bool:
        """True if a row is ticked, or its clock has run."""
        running = self.counting is not None and self.counting.key == key
        return self.is_ticked(key) or running or self.mark(key).worked is not None

    @property
    def told(self) -> str:
        """What would be lost, but for a clock that runs: `5 ticked, 1 skipped`; empty if nothing
        would."""
        marks = self.marks.values()
        ticked = sum(mark.ticked for mark in marks)
        timed = sum(not mark.ticked and mark.worked is not None for mark in marks)
        counts = {"ticked": ticked, "skipped": len(self.skips), "timed": timed}
        return ", ".join(f"{count} {word}" for word, count in counts.items() if count)


def lines(progress: Progress, rows: Sequence[Row]) -> list[str]:
    """The lines of the record: one a container and person, what was done first, then what was
    worked on, then what is left out this once."""
    day = date.fromordinal(progress.day).isoformat()
    marked = [(row, progress.mark(row.key)) for row in rows]
    done = _grouped(progress, [(row, mark.minutes) for row, mark in marked if mark.ticked])
    worked = _grouped(
        progress, [(row, mark.worked) for row, mark in marked if mark.worked and not mark.ticked]
    )
    return [
        *(f"{day} did {items}" for items in done),
        *(f"{day} worked {items}" for items in worked),
        *(f"{day} skipped {items}" for items in _skipped(progress, rows)),
    ]


def _grouped(progress: Progress, timed: Sequence[tuple[Row, int | None]]) -> list[str]:
    """Chores with their minutes and people, those of one container and the same people together."""
    groups: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for row, minutes in timed:
        item = row.key.chore + (f" {duration(minutes)}" if minutes else "")
        groups.setdefault((row.task.container, row.by(progress.who)), []).append(item)
    return [
        ", ".join(items) + (f" by {', '.join(people)}" if people else "")
        for (_, people), items in groups.items()
    ]


def _skipped(progress: Progress, rows: Sequence[Row]) -> list[str]:
    """Chores that are left out, those of one container and reason together."""
    groups: dict[tuple[str, str], dict[str, None]] = {}
    for row in rows:
        if progress.is_skipped(row):
            reason = progress.skips[row.key.chore]
            groups.setdefault((row.task.container, reason), {})[row.key.chore] = None
    return [
        ", ".join(chores) + (f" {quoted(reason)}" if reason else "")
        for (_, reason), chores in groups.items()
    ]


def gone(progress: Progress, rows: Sequence[Row]) -> list[str]:
    """What is open no more of all that was ticked, timed or skipped, in words: others have settled
    it meanwhile, or the book has it no longer."""
    there = {row.key for row in rows}
    chores = {row.key.chore for row in rows}
    keys = [key for key in progress.marks if key not in there and progress.is_touched(key)]
    lost = [f"{key.chore} ({key.person})" if key.person else key.chore for key in keys]
    lost += [chore for chore in progress.skips if chore not in chores]
    return list(dict.fromkeys(lost))


def ticked_of(progress: Progress, rows: Sequence[Row]) -> str:
    """How many of the rows of the day are done, and how many minutes are left."""
    today = [row for row in rows if not row.is_later]
    done = [row for row in today if progress.is_ticked(row.key)]
    rest = [r for r in today if not (progress.is_ticked(r.key) or progress.is_skipped(r))]
    more = sum(row.is_later and progress.is_ticked(row.key) for row in rows)
    words = [f"{len(done)} of {len(today)} done"] if today else []
    words += [f"{more} more" if today else f"{more} done"] if more else []
    minutes = sum(row.task.total for row in rest)
    words += [f"{duration(minutes)} left"] if minutes else []
    return ", ".join(words)

"""The record of one chore: what its lines say, what they settled, and how well it was kept."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Annotated, NamedTuple

from ledger.calendar.windows import Timeline
from ledger.household.model import Log
from ledger.keeping.past import KEPT, UNCOUNTED, Outcome, OutcomeKind, Past, past
from ledger.keeping.turns import done_by
from ledger.text.fields import Count, FirstDay, LastDay, OneOf, Positive, ShareOf

LINES_SHOWN = 9
EIGHT_WEEKS, YEAR = 56, 365
"""Days over which a rate is taken, the day asked for included."""


class Kept(NamedTuple):
    """How many of the windows of a stretch of days were done."""

    kept: Count
    """Windows that were done: in their days, late or early."""
    counted: Count
    """Windows that count: all but those skipped and those still open."""


class Effect(NamedTuple):
    """What a line of the record settled."""

    person: ShareOf
    fate: Annotated[str, OneOf("done", "late", "early", "skipped", "moved", "extra")]
    """What became of the window it took. `extra`: it found none. `moved`: its days were changed."""
    days: Count
    """Days late or early, else 0."""


class RecordedLine(NamedTuple):
    """A line of the record, as far as it speaks of the chore."""

    day: date
    """Its date."""
    verb: Annotated[str, OneOf("did", "skipped", "moved")]
    """What it says."""
    to: date | None
    """The day that `moved` names; else None."""
    minutes: Positive | None
    """Minutes the chore took, where the line says so; else None."""
    people: tuple[str, ...]
    """Names of those who did it together; none where the line names nobody."""
    note: str | None
    """Its note; None without one."""
    settled: tuple[Effect, ...]
    """What the line settled; for a chore that each does, one for each person whom it speaks for."""


class ChoreRecord(NamedTuple):
    """What the record says of the chore."""

    did: Count
    """How many lines say that it was done."""
    skipped: Count
    """How many lines excuse it."""
    since: date | None
    """Date of the first line that says it was done; None without one."""
    latest: tuple[RecordedLine, ...]
    """The latest nine lines that speak of it, the last of them first."""


class PastWindow(NamedTuple):
    """A window of the past, with what became of it."""

    first: FirstDay
    last: LastDay
    person: ShareOf
    fate: Annotated[str, OneOf("done", "late", "early", "skipped", "missed", "owed")]
    """What became of it. `missed`: not done before the next opened. `owed`: past, and still to be
    done."""
    days: Count
    """Days it was done late or early; of an owed one, days late so far; else 0."""
    settled: date | None
    """Date of the line of the record that settled it; None where none did."""
    people: tuple[str, ...]
    """Names of those who did it, as the record says."""


def pasts_of(shares: Sequence[Timeline], on: int) -> list[Past]:
    """What became of the windows of each share over the last year, and of those on the days of
    the latest lines of the record."""
    log, name = shares[0].household.log, shares[0].chore.name
    spans = [(max(1, on - YEAR + 1), on)]
    for day in (log.dates[line] for line in _latest(log, name, on)):
        if day < spans[0][0] - YEAR:
            # Nobody asks what became of the windows in between.
            spans.insert(0, (day, day))
        else:
            spans[0] = min(day, spans[0][0]), spans[0][1]
    return [_joined([past(timeline, *span, on) for span in spans]) for timeline in shares]


def _joined(pasts: Sequence[Past]) -> Past:
    """What spans of days, one after another, saw of a chore."""
    return Past(
        tuple(outcome for one in pasts for outcome in one.outcomes),
        tuple(extra for one in pasts for extra in one.extras),
    )


def kept(found: Past, on: int, days: int) -> Kept:
    """Of the windows that counted in the days up to one, how many were done."""
    return kept_in(found.outcomes, on - days + 1, on)


def kept_in(outcomes: Iterable[Outcome], low: int, high: int) -> Kept:
    """Of the windows that count from day `low` to `high`, how many were done."""
    fates = [one.fate for one in outcomes if low <= one.counted <= high]
    counted = [fate for fate in fates if fate not in UNCOUNTED]
    return Kept(sum(fate in KEPT for fate in counted), len(counted))


def windows_past(timeline: Timeline, found: Past, on: int) -> Iterator[PastWindow]:
    """The windows of the last year; those still open are left out."""
    for one in found.outcomes:
        if one.counted > on - YEAR and one.fate is not OutcomeKind.OPEN:
            yield PastWindow(
                first=date.fromordinal(one.first),
                last=date.fromordinal(one.last),
                person=timeline.person,
                fate=one.fate.value,
                days=on - one.last if one.fate is OutcomeKind.OWED else _days_off(one),
                settled=date.fromordinal(one.mark.day) if one.mark else None,
                people=done_by(timeline, one.mark),
            )


def record_of(shares: Sequence[Timeline], pasts: Sequence[Past], on: int) -> ChoreRecord:
    """What the record says of a chore up to a day; `pasts` are those of its shares."""
    log, name = shares[0].household.log, shares[0].chore.name
    positions = log.by_chore.get(name, ())
    positions = positions[: bisect_right(positions, on, key=log.dates.__getitem__)]
    verbs = [log.entries[line].verb for line in positions]
    settled: dict[int, list[Effect]] = {}
    for timeline, found in zip(shares, pasts, strict=True):
        for line, one in _settled(timeline, found):
            settled.setdefault(line, []).append(one)
    first = verbs.index("did") if "did" in verbs else None
    return ChoreRecord(
        did=verbs.count("did"),
        skipped=verbs.count("skipped"),
        since=date.fromordinal(log.dates[positions[first]]) if first is not None else None,
        latest=tuple(
            _said(log, name, line, shares, settled.get(line, [])) for line in _latest(log, name, on)
        ),
    )


def _latest(log: Log, name: str, on: int) -> list[int]:
    """The places of the latest lines that speak of a chore, the last of them first."""
    positions = log.by_chore.get(name, ())
    end = bisect_right(positions, on, key=log.dates.__getitem__)
    return list(reversed(positions[max(0, end - LINES_SHOWN) : end]))


def _settled(timeline: Timeline, found: Past) -> Iterator[tuple[int, Effect]]:
    """The lines that settled a window of a share or found none, each by its place."""
    for one in found.outcomes:
        if one.mark is not None:
            yield one.mark.line, Effect(timeline.person, one.fate.value, _days_off(one))
    for mark in found.extras:
        yield mark.line, Effect(timeline.person, "extra", 0)


def _days_off(one: Outcome) -> int:
    """Days by which a window was done late or early."""
    if one.mark is None or one.fate not in KEPT:
        return 0
    return max(one.mark.day - one.last, one.first - one.mark.day, 0)


def _said(
    log: Log, name: str, line: int, shares: Iterable[Timeline], settled: Sequence[Effect]
) -> RecordedLine:
    entry = log.entries[line]
    people = _people(log, line)
    if entry.to is not None:
        # A move that found a window settles none, and stands among neither.
        lost = {one.person for one in settled}
        spoken = [one.person for one in shares if not people or one.person in (None, *people)]
        moved = [Effect(person, "moved", 0) for person in spoken if person not in lost]
        settled = [*settled, *moved]
    timed = [item.minutes for item in entry.items if item.name.value == name]
    return RecordedLine(
        day=date.fromordinal(log.dates[line]),
        verb=entry.verb,
        to=date.fromordinal(entry.to.value) if entry.to is not None else None,
        minutes=next((minutes.value for minutes in timed if minutes is not None), None),
        people=people,
        note=entry.note.value if entry.note is not None else None,
        settled=tuple(settled),
    )


def _people(log: Log, line: int) -> tuple[str, ...]:
    return tuple(person.value for person in log.entries[line].people)

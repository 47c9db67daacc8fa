"""The record of one chore: what its lines say, what they settled, and how well it was kept."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Annotated, NamedTuple

from ledger.calendar.windows import Timeline
from ledger.household.record import Log
from ledger.keeping.past import KEPT, UNCOUNTED, Outcome, OutcomeKind, Past, past
from ledger.keeping.turns import done_by
from ledger.text.fields import Count, FirstDay, LastDay, OneOf, Positive, ShareOf

LINES_SHOWN = 9
EIGHT_WEEKS, YEAR = 56, 365
"""Days over which a rate is taken, the day asked for included."""


class Kept(NamedTuple):
    """How many of the windows of some days were done."""

    kept: Count
    """Windows that were done: in their days, late or early."""
    counted: Count
    """Windows that count: all but those skipped and those still open."""


class Effect(NamedTuple):
    """What a line of the record settled."""

    person: ShareOf
    fate: Annotated[str, OneOf("done", "late", "early", "skipped", "moved", "extra")]
    """What became of the window it took. `extra`: the line found none. `moved`: the window has
    other days now."""
    days: Count
    """Days late or early, else 0."""


class RecordedLine(NamedTuple):
    """A line of the record, as far as it is about the chore."""

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
    """What the line settled. Where each person does their own, one for each it counts for."""


class ChoreRecord(NamedTuple):
    """What the record says about the chore."""

    did: Count
    """How many lines say that it was done."""
    skipped: Count
    """How many lines say that it was skipped."""
    since: date | None
    """Date of the first line that says it was done; None without one."""
    latest: tuple[RecordedLine, ...]
    """The latest nine lines about it, the latest first."""


class PastWindow(NamedTuple):
    """A window of the past, with what became of it."""

    first: FirstDay
    last: LastDay
    person: ShareOf
    fate: Annotated[str, OneOf("done", "late", "early", "skipped", "missed", "owed")]
    """What became of it. `missed`: not done before the next opened. `owed`: past, and still to be
    done."""
    days: Count
    """Days by which it was done late or early; for an owed one, days late so far; else 0."""
    settled: date | None
    """Date of the line of the record that settled it; None where none did."""
    people: tuple[str, ...]
    """Names of those who did it, as the record says."""


def pasts_of(shares: Sequence[Timeline], on: int) -> list[Past]:
    """For each share, what became of its windows in the last year and on the days of the latest
    record lines."""
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
    """The histories of spans of days that follow each other, as one."""
    return Past(
        tuple(outcome for history in pasts for outcome in history.outcomes),
        tuple(extra for history in pasts for extra in history.extras),
    )


def kept(history: Past, on: int, days: int) -> Kept:
    """How many windows were done, of those that count in the last `days` days up to a day."""
    return kept_in(history.outcomes, on - days + 1, on)


def kept_in(outcomes: Iterable[Outcome], low: int, high: int) -> Kept:
    """How many windows were done, of those that count from day `low` to `high`."""
    fates = [outcome.fate for outcome in outcomes if low <= outcome.counted <= high]
    counted = [fate for fate in fates if fate not in UNCOUNTED]
    return Kept(sum(fate in KEPT for fate in counted), len(counted))


def windows_past(timeline: Timeline, history: Past, on: int) -> Iterator[PastWindow]:
    """The windows of the last year; those still open are left out."""
    for outcome in history.outcomes:
        if outcome.counted > on - YEAR and outcome.fate is not OutcomeKind.OPEN:
            yield PastWindow(
                first=date.fromordinal(outcome.first),
                last=date.fromordinal(outcome.last),
                person=timeline.person,
                fate=outcome.fate.value,
                days=on - outcome.last if outcome.fate is OutcomeKind.OWED else _days_off(outcome),
                settled=date.fromordinal(outcome.mark.day) if outcome.mark else None,
                people=done_by(timeline, outcome.mark),
            )


def record_of(shares: Sequence[Timeline], pasts: Sequence[Past], on: int) -> ChoreRecord:
    """What the record says about a chore up to a day; `pasts` are those of its shares."""
    log, name = shares[0].household.log, shares[0].chore.name
    positions = log.by_chore.get(name, ())
    positions = positions[: bisect_right(positions, on, key=log.dates.__getitem__)]
    verbs = [log.entries[line].verb for line in positions]
    settled: dict[int, list[Effect]] = {}
    for timeline, history in zip(shares, pasts, strict=True):
        for line, effect in _settled(timeline, history):
            settled.setdefault(line, []).append(effect)
    first = verbs.index("did") if "did" in verbs else None
    return ChoreRecord(
        did=verbs.count("did"),
        skipped=verbs.count("skipped"),
        since=date.fromordinal(log.dates[positions[first]]) if first is not None else None,
        latest=tuple(
            _recorded_line(log, name, line, shares, settled.get(line, []))
            for line in _latest(log, name, on)
        ),
    )


def _latest(log: Log, name: str, on: int) -> list[int]:
    """The positions of the latest record lines about a chore, the latest first."""
    positions = log.by_chore.get(name, ())
    end = bisect_right(positions, on, key=log.dates.__getitem__)
    return list(reversed(positions[max(0, end - LINES_SHOWN) : end]))


def _settled(timeline: Timeline, history: Past) -> Iterator[tuple[int, Effect]]:
    """The lines that settled a window of a share or found none, each by its position."""
    for outcome in history.outcomes:
        if outcome.mark is not None:
            yield outcome.mark.line, Effect(timeline.person, outcome.fate.value, _days_off(outcome))
    for mark in history.extras:
        yield mark.line, Effect(timeline.person, "extra", 0)


def _days_off(outcome: Outcome) -> int:
    """Days by which a window was done late or early."""
    if outcome.mark is None or outcome.fate not in KEPT:
        return 0
    return max(outcome.mark.day - outcome.last, outcome.first - outcome.mark.day, 0)


def _recorded_line(
    log: Log, name: str, line: int, shares: Iterable[Timeline], settled: Sequence[Effect]
) -> RecordedLine:
    entry = log.entries[line]
    people = _people(log, line)
    if entry.to is not None:
        # A move that found a window is not in `settled`: it settles none and is no extra.
        without_window = {one.person for one in settled}
        persons = [one.person for one in shares if not people or one.person in (None, *people)]
        moved = [Effect(person, "moved", 0) for person in persons if person not in without_window]
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

"""The record of one chore: what its lines say, what they settled, and how well it was kept."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Annotated, NamedTuple

from ledger.household.model import Chore, Household
from ledger.household.record import Log
from ledger.keeping.occasion import KEPT, UNCOUNTED, Occasion, OutcomeKind
from ledger.keeping.past import Past, pasts_of
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
    fate: Annotated[str, OneOf("done", "late", "early", "skipped", "moved", "worked", "extra")]
    """What became of the window it took. `extra`: the line found none. `moved`: the window has
    other days now. `worked`: some of it was done."""
    days: Count
    """Days late or early, else 0."""


class RecordedLine(NamedTuple):
    """A line of the record, as far as it is about the chore."""

    day: date
    """Its date."""
    verb: Annotated[str, OneOf("did", "skipped", "moved", "worked")]
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
    """Days by which it was done late or early; for an owed one, days late so far on which it was
    asked; else 0."""
    settled: date | None
    """Date of the line of the record that settled it; None where none did."""
    people: tuple[str, ...]
    """Names of those who did it, as the record says."""


def pasts_known(household: Household, chore: Chore, on: int) -> Sequence[Past]:
    """For each share, what became of its windows in the last year and on the days of the latest
    record lines."""
    log = household.log
    spans = [(max(1, on - YEAR + 1), on)]
    for day in (log.dates[line] for line in _latest(log, chore.name, on)):
        if day < spans[0][0] - YEAR:
            # Nobody asks what became of the windows in between.
            spans.insert(0, (day, day))
        else:
            spans[0] = min(day, spans[0][0]), spans[0][1]
    # The whole time is worked out at once, the earliest day first.
    pasts = [pasts_of(household, chore, *span, on) for span in spans]
    return [_joined(share) for share in zip(*pasts, strict=True)]


def _joined(pasts: Sequence[Past]) -> Past:
    """The histories of spans of days that follow each other, as one."""
    return Past(
        pasts[0].timeline,
        tuple(outcome for history in pasts for outcome in history.outcomes),
        tuple(extra for history in pasts for extra in history.extras),
    )


def kept(history: Past, on: int, days: int) -> Kept:
    """How many windows were done, of those that count in the last `days` days up to a day."""
    return kept_in(history.outcomes, on - days + 1, on)


def kept_in(outcomes: Iterable[Occasion], low: int, high: int) -> Kept:
    """How many windows were done, of those that count from day `low` to `high`."""
    fates = [outcome.fate for outcome in outcomes if low <= outcome.counted <= high]
    counted = [fate for fate in fates if fate not in UNCOUNTED]
    return Kept(sum(fate in KEPT for fate in counted), len(counted))


def windows_past(history: Past, on: int) -> Iterator[PastWindow]:
    """The windows of the last year; those still open are left out."""
    for one in history.outcomes:
        if one.counted > on - YEAR and one.fate not in (None, OutcomeKind.OPEN):
            yield PastWindow(
                first=date.fromordinal(one.first),
                last=date.fromordinal(one.last),
                person=one.person,
                fate=one.fate.value,
                days=one.days_late if one.fate is OutcomeKind.OWED else _days_off(one),
                settled=date.fromordinal(one.mark.day) if one.mark else None,
                people=done_by(one),
            )


def record_of(household: Household, name: str, pasts: Sequence[Past], on: int) -> ChoreRecord:
    """What the record says about a chore up to a day; `pasts` are those of its shares."""
    log = household.log
    positions = log.by_chore.get(name, ())
    positions = positions[: bisect_right(positions, on, key=log.dates.__getitem__)]
    verbs = [log.entries[line].verb for line in positions]
    settled: dict[int, list[Effect]] = {}
    for history in pasts:
        for line, effect in _settled(history):
            settled.setdefault(line, []).append(effect)
    people = [history.timeline.person for history in pasts]
    first = verbs.index("did") if "did" in verbs else None
    return ChoreRecord(
        did=verbs.count("did"),
        skipped=verbs.count("skipped"),
        since=date.fromordinal(log.dates[positions[first]]) if first is not None else None,
        latest=tuple(
            _recorded_line(log, name, line, people, settled.get(line, []))
            for line in _latest(log, name, on)
        ),
    )


def _latest(log: Log, name: str, on: int) -> list[int]:
    """The positions of the latest record lines about a chore, the latest first."""
    positions = log.by_chore.get(name, ())
    end = bisect_right(positions, on, key=log.dates.__getitem__)
    return list(reversed(positions[max(0, end - LINES_SHOWN) : end]))


def _settled(history: Past) -> Iterator[tuple[int, Effect]]:
    """The lines that settled a window of a share or found none, each by its position."""
    person = history.timeline.person
    for one in history.outcomes:
        if one.mark is not None and one.fate is not None:
            yield one.mark.line, Effect(person, one.fate.value, _days_off(one))
    for line in history.extras:
        yield line.line, Effect(person, "extra", 0)


def _days_off(one: Occasion) -> int:
    """Days by which a window was done late or early."""
    if one.mark is None or one.fate not in KEPT:
        return 0
    return max(one.mark.day - one.last, one.first - one.mark.day, 0)


def _recorded_line(
    log: Log,
    name: str,
    line: int,
    shares: Iterable[str | None],
    settled: Sequence[Effect],
) -> RecordedLine:
    entry = log.entries[line]
    people = _people(log, line)
    if entry.verb in ("moved", "worked"):
        # One that found a window is not in `settled`: it settles none and is no extra.
        without_window = {one.person for one in settled}
        persons = [one for one in shares if not people or one in (None, *people)]
        found = [Effect(one, entry.verb, 0) for one in persons if one not in without_window]
        settled = [*settled, *found]
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

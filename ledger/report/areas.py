"""Areas: when each was last cared for, what is next in it, and what it takes in a month."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import islice
from math import fsum
from typing import Annotated, NamedTuple

from ledger.calendar.in_force import lines_in_force
from ledger.calendar.lines import part_kept
from ledger.calendar.occurrences import MONTH, period_days
from ledger.household.model import Household, Routine
from ledger.keeping.history import Share, shares_of, timelines
from ledger.keeping.record_lines import RecordReference, last_done
from ledger.report.undone import Undone, most_undone, undone_by
from ledger.text.fields import (
    Amount,
    ChoreName,
    Count,
    FirstDay,
    HouseholdTitle,
    LastDay,
    NonEmpty,
    OneOf,
)

YEAR = 365
"""Days over which it is counted how much of a cadence the lists of days leave."""


class Care(NamedTuple):
    """The last day on which anything was done in an area."""

    day: date
    """The day."""
    days_ago: Count
    """Days from it to the day asked for."""
    chore: NonEmpty
    """Name of the chore that was done."""
    people: tuple[str, ...]
    """Names of those who did it, as the record says; none where it names nobody."""


class Next(NamedTuple):
    """A window still to be done: the days on which a chore is to be done once."""

    chore: ChoreName
    state: Annotated[str, OneOf("overdue", "due", "ahead")]
    """`overdue`: its days are past. `due`: it is open. `ahead`: it opens later."""
    first: FirstDay
    last: LastDay
    days_late: Count
    """Days past its last day, 0 unless it is overdue."""


class Area(NamedTuple):
    """One area, or the chores that name none."""

    name: str | None
    """Its name; None for chores without an area."""
    title: str | None
    """Its title; without one, the name with its hyphens as spaces; None for chores without an
    area."""
    care: Care | None
    """When anything was last done in it; None where nothing was yet."""
    next: Next | None
    """The next window still to be done in it: overdue ones first, then open ones; None where there
    is none."""
    late: tuple[str, ...]
    """Names of its overdue chores; first the one that is latest for its period."""
    chores: tuple[str, ...]
    """Names of its chores in force, in the order of the book."""
    undone: Undone | None
    """Of its chores in force the one that was not done for most of its periods; None where none was
    left undone for more than three."""
    minutes: Amount
    """Minutes in an average month, as the book says. A chore in two areas counts half in each."""


class Areas(NamedTuple):
    """When each area was last cared for, what is next in it and how long it takes, by the record up
    to a day."""

    household: HouseholdTitle
    on: date
    """The day."""
    areas: tuple[Area, ...]
    """The areas in the order of the book, then the chores without an area, if there are any."""
    chores: Count
    """How many chores are in force on the day, each counted once."""
    minutes: Amount
    """Minutes of all areas together in an average month, as the book says."""
    untimed: tuple[str, ...]
    """Names of the chores in force for which the book says no minutes; they count as none."""


class _ToDo(NamedTuple):
    """A window still to be done, ranked: overdue ones first, then by their days."""

    rank: tuple[int, float, float]
    areas: tuple[str | None, ...]
    window: Next


def areas(household: Household, on: int) -> Areas:
    """When each area was last cared for, what is next in it, and its minutes a month.

    A chore in two areas is shown in both, with half of its minutes in each.
    """
    undone = {name: _undone(household, name, on) for name in household.chores}
    in_force = {name: lines_in_force(household, name, on) for name in household.chores}
    windows = sorted(_to_do(household, on), key=lambda item: item.rank)
    cares = _cares(household, on)
    names: list[str | None] = [*household.areas]
    if any(not line.areas for chore in household.chores.values() for line in chore.routines):
        names.append(None)
    lines = [line for lines in in_force.values() for line in lines]
    to_do: dict[str | None, list[Next]] = {name: [] for name in names}
    for item in windows:
        for name in item.areas:
            to_do[name].append(item.window)
    lines_of: dict[str | None, dict[str, list[Routine]]] = {name: {} for name in names}
    for chore, chore_lines in in_force.items():
        for line in chore_lines:
            for name in _areas_of(line):
                lines_of[name].setdefault(chore, []).append(line)
    return Areas(
        household=household.title,
        on=date.fromordinal(on),
        areas=tuple(
            _area(household, name, cares.get(name), to_do[name], lines_of[name], undone, on)
            for name in names
        ),
        chores=sum(1 for lines in in_force.values() if lines),
        minutes=fsum(minutes_a_month(household, line, on) for line in lines),
        untimed=tuple(
            name for name, lines in in_force.items() if any(line.minutes is None for line in lines)
        ),
    )


def _area(
    household: Household,
    name: str | None,
    care: Care | None,
    to_do: Sequence[Next],
    lines_of: Mapping[str, Sequence[Routine]],
    undone: Mapping[str, Undone | None],
    on: int,
) -> Area:
    late = (window.chore for window in to_do if window.state == "overdue")
    return Area(
        name=name,
        title=(household.areas[name].title or name) if name is not None else None,
        care=care,
        next=to_do[0] if to_do else None,
        late=tuple(dict.fromkeys(late)),
        chores=tuple(lines_of),
        undone=most_undone([one for chore in lines_of if (one := undone[chore]) is not None]),
        minutes=fsum(
            minutes_a_month(household, line, on) / len(_areas_of(line))
            for lines in lines_of.values()
            for line in lines
        ),
    )


def minutes_a_month(household: Household, line: Routine, on: int) -> float:
    """The declared minutes of a line of the routine in an average month of the year from a day on,
    for all the people who do it; 0 for what is done once and for a line without minutes."""
    section = line.section
    cadence = section.cadence
    if line.minutes is None or cadence.is_once:
        return 0.0
    times = MONTH / period_days(cadence, len(household.weekend))
    return line.minutes * line.shares * times * part_kept(household, line, on, on + YEAR - 1)


def _areas_of(line: Routine) -> tuple[str | None, ...]:
    return line.areas or (None,)


def _to_do(household: Household, on: int) -> Iterator[_ToDo]:
    """For each chore, or share of one, the window that is open or overdue; else the next."""
    for chore in household.chores.values():
        for share in shares_of(household, chore, on, on):
            yield from _next_of(share)


def _next_of(share: Share) -> Iterator[_ToDo]:
    now = share.standing
    name = share.timeline.chore.name
    if now is not None and now.mark is None:
        late = now.state == "overdue"
        rank = (0, -now.lateness, now.last) if late else (1, now.last, now.first)
        window = _next(name, now.state, (now.first, now.last), now.days_late)
        yield _ToDo(rank, _areas_of(now.routine), window)
        return
    for one in islice(share.ahead(), 1):
        window = _next(name, "ahead", (one.first, one.last), 0)
        yield _ToDo((2, one.first, one.last), _areas_of(one.routine), window)


def _next(chore: str, state: str, span: tuple[int, int], days_late: int) -> Next:
    first, last = map(date.fromordinal, span)
    return Next(chore, state, first, last, days_late)


def _undone(household: Household, chore: str, on: int) -> Undone | None:
    found = (undone_by(one, on) for one in timelines(household, household.chores[chore]))
    return most_undone([one for one in found if one is not None])


def _cares(household: Household, on: int) -> dict[str | None, Care]:
    """When each area was last cared for; areas that never were are left out."""
    latest: dict[str | None, tuple[RecordReference, str]] = {}
    for chore in household.chores.values():
        done = last_done(household.log, chore.name, on)
        if done is None:
            continue
        # Lines that are over count too: the care they led to does not end with them.
        for area in {area for one in chore.routines for area in _areas_of(one)}:
            if area not in latest or done.line > latest[area][0].line:
                latest[area] = done, chore.name
    return {
        area: Care(date.fromordinal(done.day), on - done.day, chore, done.people)
        for area, (done, chore) in latest.items()
    }

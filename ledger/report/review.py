"""Review: how some weeks went, where their minutes went, and what to change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from typing import Annotated, NamedTuple

from ledger.calendar.week import MAX_DAY, week_first
from ledger.household.cadence import container
from ledger.household.model import Household, Routine, Section
from ledger.keeping.minutes import differs
from ledger.keeping.past import KEPT, UNCOUNTED, Outcome, OutcomeKind, past
from ledger.keeping.shares import apportion
from ledger.keeping.status import timelines
from ledger.report.chore_record import EIGHT_WEEKS, Kept, kept_in
from ledger.report.effort import (
    NO_TURNS,
    Seen,
    Turns,
    Work,
    minutes_by_person,
    turns_by_person,
    works,
)
from ledger.report.habit import (
    HABIT_DAYS,
    HABIT_SOURCE,
    TEN_WEEKS,
    Advice,
    Habit,
    advice,
    habit_of,
    last_whole_day,
)
from ledger.text.fields import Bounds, ChoreName, Count, HouseholdTitle, NonEmpty, Positive


class Tally(NamedTuple):
    """What became of some windows. Each counts on the day it was settled, else on the last of its
    days; where each does their own, there is one a person."""

    done: Count
    """Done in their days."""
    late: Count
    """Done after their days."""
    early: Count
    """Done before their days."""
    skipped: Count
    """Skipped, as the record says."""
    missed: Count
    """Not done, and no longer owed."""
    owed: Count
    """Not done in their days, and still to be done."""
    open: Count
    """Not done yet, on the last of their days."""
    extras: Count
    """Lines that say it was done and found no window."""
    kept: Count
    """Windows done, late and early ones too."""
    counted: Count
    """All windows but those skipped and those open."""


class Container(NamedTuple):
    """One container."""

    container: NonEmpty
    """Its title; without one, its cadence as the book says it."""
    tally: Tally
    """Its windows of these weeks."""
    eight_weeks: Kept
    """Its windows of the last eight weeks."""
    days: Count
    """How many days it has been in the book."""
    habit: Habit
    """`habit`: at least 80% done over eight weeks, and 66 days in the book. `young`: only the days
    are wanting. `below`: less than 80%. `few`: fewer than five windows, too few to say."""


class Timed(NamedTuple):
    """What was timed, beside what the book says."""

    lines: Count
    """How many times a line of the record says minutes."""
    minutes: Count
    """Minutes by the clock."""
    declared: Count | None
    """Minutes that the book says of the same lines; None where it says none."""
    off: bool
    """True where the two differ by more than a quarter and two minutes a line."""


class ChoreWeek(NamedTuple):
    """One chore, as one container has it."""

    container: NonEmpty
    """What its container is called."""
    chore: ChoreName
    tally: Tally
    """Its windows of these weeks."""
    timed: Timed
    """Its lines with minutes."""


class Person(NamedTuple):
    """What one person did, or nobody named."""

    person: str | None
    """Name of the person; None for lines that do not say who it was."""
    minutes: Count
    """Minutes as timed, else as the book says. What was done together is shared evenly."""
    percent: Annotated[int, Bounds(0, 100)]
    """Of all minutes, in whole percent that add up to 100."""
    above: float | None
    """Minutes above an even share of all that has a name, below it if less than 0; None for nobody
    named."""
    turns: Turns
    """How turns were kept."""


class Review(NamedTuple):
    """How some weeks went, where their minutes went, and what to change, as the record has it by a
    day."""

    household: HouseholdTitle
    first: date
    """First day of the weeks."""
    last: date
    """Last day of the weeks, yet to come perhaps."""
    on: date
    """The day up to which things count."""
    weeks: Positive
    """How many weeks."""
    containers: tuple[Container, ...]
    """The containers of which something counts in these weeks or in the last eight, in the order of
    the book."""
    chores: tuple[ChoreWeek, ...]
    """The chores of which something counts in these weeks, container by container."""
    timed: Timed
    """All lines with minutes, of chores for which the book says minutes too."""
    minutes: Count
    """Minutes of all that was done, as timed, else as the book says."""
    unknown: Count
    """How many times something was done whose minutes are not known, so that they count for
    none."""
    people: tuple[Person, ...]
    """Each person in the order of the book, and after them nobody named, if anything was done
    so."""
    eight_weeks: Kept
    """All containers together, over the last eight weeks."""
    advice: Advice
    """What to change next."""
    habit_days: Positive = HABIT_DAYS
    """Days in the book from which on a container that holds is called a habit."""
    habit_source: str = HABIT_SOURCE
    """Where that figure comes from, and what of it was read."""


class _Record(NamedTuple):
    """What the windows and the record of a household come to over some days."""

    windows: list[Seen]
    extras: set[tuple[int, str]]
    """Places of the lines that found no window, each with the chore that it found none of."""


def review(household: Household, on: int, weeks: int) -> Review:
    """The weeks, at least one, that end with the week that holds a day, up to that day."""
    begin = week_first(on, household.week_start)
    first = max(1, begin - 7 * (weeks - 1))
    ten_weeks = last_whole_day(household, on) - 7 * TEN_WEEKS + 1
    low = max(1, min(first, ten_weeks, on - EIGHT_WEEKS + 1))
    record = _record(household, low, on)
    line_of = _lines_of(household, record.windows)
    here = [seen for seen in record.windows if seen[1].counted >= first]
    extras = [
        (line_of(line, chore), chore)
        for line, chore in record.extras
        if household.log.dates[line] >= first
    ]
    done = list(works(household, line_of, first, on))
    outcomes = [one for _, one in record.windows]
    return Review(
        household=household.title,
        first=date.fromordinal(first),
        last=date.fromordinal(min(begin + 6, MAX_DAY)),
        on=date.fromordinal(on),
        weeks=weeks,
        containers=_containers(household, outcomes, [one for _, one in here], extras, on),
        chores=_chores(household, here, extras, done),
        timed=_timed([work for work in done if work.routine.minutes is not None]),
        minutes=sum(work.minutes or 0 for work in done),
        unknown=sum(work.minutes is None for work in done),
        people=_people(household, done, here),
        eight_weeks=kept_in(outcomes, on - EIGHT_WEEKS + 1, on),
        advice=advice(household, outcomes, on),
    )


def _record(household: Household, low: int, on: int) -> _Record:
    record = _Record([], set())
    for chore in household.chores.values():
        for timeline in timelines(household, chore):
            found = past(timeline, low, on, on)
            record.windows.extend((timeline, one) for one in found.outcomes)
            lines = (mark.line for mark in found.extras if mark.verb == "did")
            record.extras.update((line, chore.name) for line in lines)
    return record


def _lines_of(household: Household, windows: Iterable[Seen]) -> Callable[[int, str], Routine]:
    """By which line of the routine a chore was done, for a place in the record and its name:
    that of the window it settled, else of the window nearest in days, else the chore's first."""
    settled: dict[tuple[int, str], Routine] = {}
    near: dict[str, list[Outcome]] = {}
    for timeline, one in windows:
        near.setdefault(timeline.chore.name, []).append(one)
        if one.mark is not None:
            settled[one.mark.line, timeline.chore.name] = one.routine

    def line_of(line: int, chore: str) -> Routine:
        if (line, chore) in settled:
            return settled[line, chore]
        day = household.log.dates[line]
        nearest = min(near.get(chore, ()), key=lambda one: abs(one.counted - day), default=None)
        return nearest.routine if nearest is not None else household.chores[chore].routines[0]

    return line_of


def _tally(outcomes: Iterable[Outcome], extras: int) -> Tally:
    fates = Counter(one.fate for one in outcomes)
    return Tally(
        **{fate.value: fates[fate] for fate in OutcomeKind},
        extras=extras,
        kept=sum(fates[fate] for fate in KEPT),
        counted=sum(number for fate, number in fates.items() if fate not in UNCOUNTED),
    )


def _containers(
    household: Household,
    outcomes: Sequence[Outcome],
    here: Sequence[Outcome],
    extras: Sequence[tuple[Routine, str]],
    on: int,
) -> tuple[Container, ...]:
    """The containers with their tallies; `outcomes` are all that are known up to a
    day, `here` those of the review."""
    start = household.start
    begun: dict[str, int] = {}
    for line in (line for chore in household.chores.values() for line in chore.routines):
        name = container(line.section)
        if not line.paused:
            begun[name] = min(begun.get(name, MAX_DAY), max(start, line.first or start))
    of_all, of_here = _by_container(outcomes), _by_container(here)
    besides = Counter(container(line.section) for line, _ in extras)
    found = []
    for name in dict.fromkeys(map(container, household.sections)):
        rate = kept_in(of_all.get(name, ()), on - EIGHT_WEEKS + 1, on)
        tally = _tally(of_here.get(name, ()), besides[name])
        if any(tally) or rate.counted:
            known = max(0, on - begun.get(name, on + 1) + 1)
            found.append(Container(name, tally, rate, known, habit_of(rate, known)))
    return tuple(found)


def _by_container(outcomes: Iterable[Outcome]) -> dict[str, list[Outcome]]:
    found: dict[str, list[Outcome]] = {}
    names: dict[int, str] = {}
    for one in outcomes:
        found.setdefault(_name(one.routine.section, names), []).append(one)
    return found


def _name(section: Section, known: dict[int, str]) -> str:
    """What a section's container is called; there are few of them, and windows by the thousand."""
    if id(section) not in known:
        known[id(section)] = container(section)
    return known[id(section)]


def _chores(
    household: Household,
    here: Iterable[Seen],
    extras: Iterable[tuple[Routine, str]],
    done: Iterable[Work],
) -> tuple[ChoreWeek, ...]:
    """The chores of each container with their tallies and minutes."""
    windows: dict[tuple[str, str], list[Outcome]] = {}
    names: dict[int, str] = {}
    for timeline, one in here:
        key = _name(one.routine.section, names), timeline.chore.name
        windows.setdefault(key, []).append(one)
    works_of: dict[tuple[str, str], list[Work]] = {}
    for work in done:
        works_of.setdefault((container(work.routine.section), work.chore), []).append(work)
    besides = Counter((container(line.section), chore) for line, chore in extras)
    keys = (
        (container(line.section), chore.name)
        for chore in household.chores.values()
        for line in chore.routines
    )
    found = [
        ChoreWeek(*key, _tally(windows.get(key, ()), besides[key]), _timed(works_of.get(key, ())))
        for key in dict.fromkeys(keys)
        if key in windows or key in works_of
    ]
    order = {name: n for n, name in enumerate(dict.fromkeys(map(container, household.sections)))}
    return tuple(sorted(found, key=lambda one: order[one.container]))


def _timed(done: Iterable[Work]) -> Timed:
    """The lines of some chores that say minutes, beside what the book says of them."""
    both = [(work.timed, work.routine.minutes) for work in done if work.timed is not None]
    timed = sum(minutes for minutes, _ in both)
    known = [minutes for _, minutes in both if minutes is not None]
    if not both or len(known) < len(both):
        return Timed(len(both), timed, None, off=False)
    declared, lines = sum(known), len(both)
    return Timed(lines, timed, declared, differs(round(declared / lines), timed / lines))


def _people(household: Household, done: Sequence[Work], here: Sequence[Seen]) -> tuple[Person, ...]:
    minutes = minutes_by_person(household, done)
    percents = apportion(100, list(minutes.values()))
    turns = turns_by_person(household, here)
    named = sum(minutes.values()) - minutes[None]
    people = []
    for (person, amount), percent in zip(minutes.items(), percents, strict=True):
        if person is not None or amount:
            even = named / len(household.people) if person is not None else None
            above = round(amount - even, 1) if even is not None else None
            kept = NO_TURNS if person is None else turns[person]
            people.append(Person(person, amount, percent, above, kept))
    return tuple(people)

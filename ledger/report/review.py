"""Review: how some weeks went, where their minutes went, and what to change."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from itertools import filterfalse
from typing import Annotated, NamedTuple

from ledger.calendar.week import MAX_DAY, week_first
from ledger.household.cadence import container
from ledger.household.model import Household, Routine, Section
from ledger.keeping.minutes import differs
from ledger.keeping.occasion import KEPT, UNCOUNTED, Occasion, OutcomeKind
from ledger.keeping.past import pasts_of
from ledger.keeping.shares import apportion
from ledger.report.chore_record import EIGHT_WEEKS, Kept, kept_in
from ledger.report.effort import (
    NO_TURNS,
    LineOfWork,
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
    days. Where each person does their own, each has a window."""

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
    """Not done yet, on the last of their days; without spare ones."""
    extras: Count
    """Lines that say it was done, and that found no window."""
    kept: Count
    """Windows done, late and early ones included."""
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
    """`habit`: at least 80% done over eight weeks, and 66 days in the book. `young`: as much
    done, in fewer days. `below`: less than 80%. `few`: fewer than five windows, too few to say."""


class Timed(NamedTuple):
    """Timed minutes, beside the minutes that the book says."""

    lines: Count
    """How many times the record says minutes."""
    minutes: Count
    """Minutes by the clock."""
    declared: Count | None
    """Minutes that the book says for the same; None where it says none, or nothing was timed."""
    off: bool
    """True where the two differ by more than a quarter and two minutes a line."""


class ChoreWeek(NamedTuple):
    """One chore in one container."""

    container: NonEmpty
    """What its container is called."""
    chore: ChoreName
    tally: Tally
    """Its windows of these weeks."""
    timed: Timed
    """What the record says of its minutes."""


class Person(NamedTuple):
    """What one person did, or what was done by nobody named."""

    person: str | None
    """Name of the person; None for lines that do not say who it was."""
    minutes: Count
    """Minutes as timed, else what was left of those that the book says. Everyone who did something
    together worked its minutes in full."""
    percent: Annotated[int, Bounds(0, 100)]
    """Share of all minutes, in whole percent; these add up to 100."""
    above: float | None
    """Minutes above an even share of what named people did; negative if below. None for nobody
    named."""
    turns: Turns
    """How turns were kept."""


class Review(NamedTuple):
    """How some weeks went, where their minutes went, and what to change, by the record up to a
    day."""

    household: HouseholdTitle
    first: date
    """First day of the weeks."""
    last: date
    """Last day of the weeks; it may be still to come."""
    on: date
    """The day up to which things count."""
    weeks: Positive
    """How many weeks."""
    containers: tuple[Container, ...]
    """The containers with something that counts in these weeks or in the last eight, in the order
    of the book."""
    chores: tuple[ChoreWeek, ...]
    """The chores with something that counts in these weeks, container by container."""
    timed: Timed
    """All lines with minutes, of chores for which the book says minutes too."""
    minutes: Count
    """Minutes of all that was done, as timed, else as the book says."""
    unknown: Count
    """How many times something was done whose minutes are not known; they count as none."""
    people: tuple[Person, ...]
    """Each person in the order of the book; then nobody named, if some lines name nobody."""
    eight_weeks: Kept
    """All containers together, over the last eight weeks."""
    advice: Advice
    """What to change next."""
    habit_days: Positive = HABIT_DAYS
    """How many days in the book it takes until a container that holds is called a habit."""
    habit_source: str = HABIT_SOURCE
    """Where that figure comes from, and what of it was read."""
    diff: str = ""
    """The change to the files that begins what the advice says, as a unified diff, which `git
    apply` takes; empty where it begins nothing. Each byte that is not UTF-8 is a lone surrogate,
    U+DC80 for 0x80 and so on."""


class _Record(NamedTuple):
    """The windows of a household over some days, and the record lines that found none."""

    windows: list[Occasion]
    extras: set[tuple[int, str]]
    """Positions of the lines that found no window, each with the chore it found none for."""


def review(household: Household, on: int, weeks: int) -> Review:
    """The review of some weeks, at least one, up to a day. The last of them is the week of that
    day."""
    begin = week_first(on, household.week_start)
    first = max(1, begin - 7 * (weeks - 1))
    ten_weeks = last_whole_day(household, on) - 7 * TEN_WEEKS + 1
    low = max(1, min(first, ten_weeks, on - EIGHT_WEEKS + 1))
    record = _record(household, low, on)
    line_of = _lines_of(household, record.windows)
    reviewed = [window for window in record.windows if window.counted >= first]
    extras = [
        (line_of(line, chore)[0], chore)
        for line, chore in record.extras
        if household.log.dates[line] >= first
    ]
    done = list(works(household, line_of, first, on))
    outcomes = record.windows
    return Review(
        household=household.title,
        first=date.fromordinal(first),
        last=date.fromordinal(min(begin + 6, MAX_DAY)),
        on=date.fromordinal(on),
        weeks=weeks,
        containers=_containers(household, outcomes, reviewed, extras, on),
        chores=_chores(household, reviewed, extras, done),
        timed=_timed([work for work in done if work.routine.minutes is not None]),
        minutes=sum(work.minutes or 0 for work in done),
        unknown=sum(work.minutes is None for work in done),
        people=_people(household, done, reviewed),
        eight_weeks=kept_in(outcomes, on - EIGHT_WEEKS + 1, on),
        advice=advice(household, outcomes, on),
    )


def _record(household: Household, low: int, on: int) -> _Record:
    record = _Record([], set())
    for chore in household.chores.values():
        for history in pasts_of(household, chore, low, on, on):
            record.windows.extend(filterfalse(_may_be_left, history.outcomes))
            lines = (mark.line for mark in history.extras if mark.verb == "did")
            record.extras.update((line, chore.name) for line in lines)
    return record


def _may_be_left(one: Occasion) -> bool:
    """True for a spare window still open: nobody needs to do it by tonight."""
    return one.routine.spare and one.fate is OutcomeKind.OPEN


def _lines_of(
    household: Household, windows: Iterable[Occasion]
) -> Callable[[int, str], LineOfWork]:
    """A function that gives the line of the routine by which a chore was done, for a position in
    the record and the chore's name: the line of the window it settled, else of the window nearest
    in days, else the chore's first; with the minutes worked before on the window it settled."""
    settled: dict[tuple[int, str], LineOfWork] = {}
    near: dict[str, list[Occasion]] = {}
    for outcome in windows:
        near.setdefault(outcome.chore, []).append(outcome)
        if outcome.mark is not None:
            settled[outcome.mark.line, outcome.chore] = outcome.routine, outcome.worked

    def line_of(line: int, chore: str) -> LineOfWork:
        if (line, chore) in settled:
            return settled[line, chore]
        day = household.log.dates[line]
        nearest = min(
            near.get(chore, ()), key=lambda outcome: abs(outcome.counted - day), default=None
        )
        routines = household.chores[chore].routines
        return nearest.routine if nearest is not None else routines[0], 0

    return line_of


def _tally(outcomes: Iterable[Occasion], extras: int) -> Tally:
    fates = Counter(outcome.fate for outcome in outcomes)
    return Tally(
        **{fate.value: fates[fate] for fate in OutcomeKind},
        extras=extras,
        kept=sum(fates[fate] for fate in KEPT),
        counted=sum(number for fate, number in fates.items() if fate not in UNCOUNTED),
    )


def _containers(
    household: Household,
    outcomes: Sequence[Occasion],
    reviewed: Sequence[Occasion],
    extras: Sequence[tuple[Routine, str]],
    on: int,
) -> tuple[Container, ...]:
    """The containers with their tallies; `outcomes` are all that are known up to a day, `reviewed`
    those of the review."""
    start = household.start
    begun: dict[str, int] = {}
    for line in (line for chore in household.chores.values() for line in chore.routines):
        name = container(line.section)
        if not line.paused:
            begun[name] = min(begun.get(name, MAX_DAY), max(start, line.first or start))
    outcomes_of, reviewed_of = _by_container(outcomes), _by_container(reviewed)
    extras_of = Counter(container(line.section) for line, _ in extras)
    containers = []
    for name in dict.fromkeys(map(container, household.sections)):
        rate = kept_in(outcomes_of.get(name, ()), on - EIGHT_WEEKS + 1, on)
        tally = _tally(reviewed_of.get(name, ()), extras_of[name])
        if any(tally) or rate.counted:
            known = max(0, on - begun.get(name, on + 1) + 1)
            containers.append(Container(name, tally, rate, known, habit_of(rate, known)))
    return tuple(containers)


def _by_container(outcomes: Iterable[Occasion]) -> dict[str, list[Occasion]]:
    by_container: dict[str, list[Occasion]] = {}
    names: dict[int, str] = {}
    for outcome in outcomes:
        by_container.setdefault(_name(outcome.routine.section, names), []).append(outcome)
    return by_container


def _name(section: Section, known: dict[int, str]) -> str:
    """What a section's container is called, looked up once: windows come by the thousand."""
    if id(section) not in known:
        known[id(section)] = container(section)
    return known[id(section)]


def _chores(
    household: Household,
    reviewed: Iterable[Occasion],
    extras: Iterable[tuple[Routine, str]],
    done: Iterable[Work],
) -> tuple[ChoreWeek, ...]:
    """The chores of each container with their tallies and minutes."""
    windows: dict[tuple[str, str], list[Occasion]] = {}
    names: dict[int, str] = {}
    for outcome in reviewed:
        key = _name(outcome.routine.section, names), outcome.chore
        windows.setdefault(key, []).append(outcome)
    works_of: dict[tuple[str, str], list[Work]] = {}
    for work in done:
        works_of.setdefault((container(work.routine.section), work.chore), []).append(work)
    extras_of = Counter((container(line.section), chore) for line, chore in extras)
    keys = (
        (container(line.section), chore.name)
        for chore in household.chores.values()
        for line in chore.routines
    )
    chores = [
        ChoreWeek(*key, _tally(windows.get(key, ()), extras_of[key]), _timed(works_of.get(key, ())))
        for key in dict.fromkeys(keys)
        if key in windows or key in works_of
    ]
    order = {name: n for n, name in enumerate(dict.fromkeys(map(container, household.sections)))}
    return tuple(sorted(chores, key=lambda week: order[week.container]))


def _timed(done: Iterable[Work]) -> Timed:
    """The timed minutes of some work, beside the minutes that the book says for it."""
    both = [
        (work.timed + work.before, work.routine.minutes)
        for work in done
        if work.timed is not None and work.is_done
    ]
    timed = sum(minutes for minutes, _ in both)
    known = [minutes for _, minutes in both if minutes is not None]
    if not both or len(known) < len(both):
        return Timed(len(both), timed, None, off=False)
    declared, lines = sum(known), len(both)
    return Timed(lines, timed, declared, differs(round(declared / lines), timed / lines))


def _people(
    household: Household, done: Sequence[Work], reviewed: Sequence[Occasion]
) -> tuple[Person, ...]:
    minutes = minutes_by_person(household, done)
    percents = apportion(100, list(minutes.values()))
    turns = turns_by_person(household, reviewed)
    named = sum(minutes.values()) - minutes[None]
    people = []
    for (person, amount), percent in zip(minutes.items(), percents, strict=True):
        if person is not None or amount:
            even = named / len(household.people) if person is not None else None
            above = round(amount - even, 1) if even is not None else None
            kept = NO_TURNS if person is None else turns[person]
            people.append(Person(person, amount, percent, above, kept))
    return tuple(people)

"""Tasks: a chore in one of its windows, with all that a list says about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Annotated, NamedTuple

from ledger.calendar.windows import Timeline
from ledger.household.cadence import container
from ledger.household.model import Routine
from ledger.household.things import LAST_WORD, cautions
from ledger.keeping.matching import RecordReference
from ledger.keeping.minutes import Learned, differs
from ledger.keeping.status import lateness
from ledger.keeping.turns import done_by, people_for
from ledger.text.fields import (
    Amount,
    Authority,
    Bounds,
    ChoreTitle,
    Count,
    FirstDay,
    LastDay,
    LastWord,
    NonEmpty,
    OneOf,
    Positive,
)


class Task(NamedTuple):
    """A chore in one of its windows: the days on which it is to be done once."""

    chore: NonEmpty
    """Its name."""
    title: ChoreTitle
    container: str
    """What its section is called: the section's title, or else its cadence."""
    areas: tuple[str, ...]
    """Names of the areas in which it is done, in the order of the book."""
    minutes: Positive | None
    """Minutes it should take, as the book says; None where it says none. Where each person does it,
    the minutes of one."""
    lately: Annotated[float, Bounds(1)] | None
    """Minutes it takes by the timed lines of the record, where that clearly differs from what the
    book says; else None."""
    people: tuple[str, ...]
    """Names of those who do it: each of them where `each` is true, else one of them. Empty for
    anyone."""
    done_by: tuple[str, ...]
    """Names of those who did it, where the record names them."""
    each: bool
    """True where each of the people does it."""
    state: Annotated[str, OneOf("done", "skipped", "due", "overdue", "missed")]
    """What became of the window. `due`: still to do, in time. `overdue`: still to do, and past.
    `missed`: not done before the next window opened. `skipped`: the record excuses it."""
    first: FirstDay
    last: LastDay
    days_late: Count
    """Days past its last day, 0 unless it is overdue."""
    lateness: Amount
    """Days late, divided by the days from one window of the chore to the next, so that chores of
    different kinds compare."""
    settled: date | None
    """Date of the line of the record that settled it; None while none has."""
    after: tuple[str, ...]
    """Names of the chores that come before it on the same day."""
    things: tuple[str, ...]
    """What it uses, in the words of the book."""

    @property
    def total(self) -> Count:
        """Minutes as the book says, for all the people who each do it; 0 where it says none."""
        return (self.minutes or 0) * self.shares

    @property
    def shares(self) -> int:
        """How many times it is to be done: once, or once by each."""
        return len(self.people) if self.each else 1


class Caution(NamedTuple):
    """What to mind with a thing that can hurt. The product's label, local rules and a licensed
    trade come first."""

    thing: str
    """The thing, in the word of the book."""
    caution: str
    """What to mind."""
    source: Authority
    last_word: LastWord = LAST_WORD


def task_of(
    timeline: Timeline,
    routine: Routine,
    span: tuple[int, int],
    state: str,
    mark: RecordReference | None,
    day: int,
    learned: Learned | None,
    opened: int | None = None,
) -> Task:
    """The task of a window, given what became of it, as seen on a day.

    `learned` is what the record says of its minutes by that day; `opened` is the window's
    first day before it was moved.
    """
    first, last = span
    off = learned is not None and differs(routine.minutes, learned.minutes)
    late = day - last if state == "overdue" else 0
    return Task(
        chore=timeline.chore.name,
        title=timeline.chore.title,
        container=container(routine.section),
        areas=routine.areas,
        minutes=routine.minutes,
        lately=learned.minutes if learned is not None and off else None,
        people=people_for(timeline, routine, first if opened is None else opened, first, last),
        done_by=done_by(timeline, mark),
        each=timeline.person is not None,
        state=state,
        first=date.fromordinal(first),
        last=date.fromordinal(last),
        days_late=late,
        lateness=lateness(timeline, routine, late),
        settled=date.fromordinal(mark.day) if mark is not None else None,
        after=routine.after,
        things=routine.things,
    )


def join_shares(tasks: Iterable[Task]) -> list[Task]:
    """The tasks, with shares of one chore that are in the same state joined to one task."""
    joined: dict[object, Task] = {}
    for task in tasks:
        key = (task.chore, task.state, task.first, task.last, task.settled) if task.each else task
        if key in joined:
            other = joined[key]
            joined[key] = other._replace(
                people=other.people + task.people, done_by=other.done_by + task.done_by
            )
        else:
            joined[key] = task
    return list(joined.values())


def in_order(tasks: Sequence[Task]) -> list[Task]:
    """The tasks in the order given, but each behind those that its chore comes `after`."""
    by_chore: dict[str, list[Task]] = {}
    for task in tasks:
        by_chore.setdefault(task.chore, []).append(task)
    placed: dict[str, None] = {}

    def earlier(chore: str) -> Iterator[str]:
        return (name for task in by_chore[chore] for name in task.after if name in by_chore)

    for first in by_chore:
        # Each chore waits for the next one in `waiting`. Of a circle, the last reached is first.
        waiting = {} if first in placed else {first: earlier(first)}
        while waiting:
            chore, names = next(reversed(waiting.items()))
            name = next(
                (other for other in names if other not in placed and other not in waiting), None
            )
            if name is None:
                placed[chore] = None
                del waiting[chore]
            else:
                waiting[name] = earlier(name)
    return [task for chore in placed for task in by_chore[chore]]


def cautions_of(tasks: Iterable[Task]) -> tuple[Caution, ...]:
    """The cautions of all things that some tasks use, each once."""
    return cautions_for(tuple(thing for task in tasks for thing in task.things))


def cautions_for(things: tuple[str, ...]) -> tuple[Caution, ...]:
    """The cautions of some things, each once."""
    return tuple(
        Caution(thing, hazard.caution, hazard.source) for thing, hazard in cautions(things)
    )

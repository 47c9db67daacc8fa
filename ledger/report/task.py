"""Tasks: a chore in one of its windows, with all that a list says about it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Annotated, NamedTuple, Protocol, TypeVar

from ledger.household.cadence import container
from ledger.household.things import LAST_WORD, cautions
from ledger.keeping.minutes import Learned, differs
from ledger.keeping.occasion import Occasion
from ledger.keeping.turns import done_by, people_for, took
from ledger.report.undone import Undone, most_undone, undone_by
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
    worked: Count
    """Minutes already worked on it, by lines of the record that do not settle it."""
    real: Count
    """Minutes that it took, of all people together: by the record where it says them, else as the
    book says; 0 unless it is done."""
    people: tuple[str, ...]
    """Names of those who do it: each of them where `each` is true, all of them where `together` is,
    else one of them. Empty for anyone."""
    done_by: tuple[str, ...]
    """Names of those who did it, where the record names them."""
    each: bool
    """True where each of the people does their own."""
    together: bool
    """True where all of the people do it together."""
    vital: bool
    """True where it is asked on days of rest too, and comes first."""
    expires: bool
    """True where it is missed, not late, if it is not done on its days."""
    spare: bool
    """True where it is only offered when time is left: it is never late and in no limit."""
    expected: bool
    """True where its days depend on when the chore is done the time before."""
    state: Annotated[str, OneOf("done", "skipped", "due", "overdue", "missed")]
    """What became of the window. `due`: still to do, in time. `overdue`: still to do, and past.
    `missed`: not done before the next window opened. `skipped`: the record excuses it."""
    first: FirstDay
    last: LastDay
    next_asked: date | None
    """The first day, from the day asked about on, on which it is asked; None where there is none,
    and for one that is settled or missed."""
    last_asked: date | None
    """The last such day in its window; the same day where its window has none left."""
    planned: date | None
    """The day that the plan gives it; None where it has none, and for one that is settled or
    missed."""
    proposed: str | None
    """Of one of several people who may do it, the name of the one whom the plan proposes on that
    day; else None."""
    days_late: Count
    """Days past its last day on which it was asked, 0 unless it is overdue."""
    lateness: Amount
    """Days late, divided by the days from one window of the chore to the next, so that chores of
    different kinds compare."""
    settled: date | None
    """Date of the line of the record that settled it; None while none has."""
    after: tuple[str, ...]
    """Names of the chores that come before it on the same day."""
    things: tuple[str, ...]
    """What it uses, in the words of the book."""
    steps: tuple[str, ...]
    """Its steps, in order."""
    undone: Undone | None
    """For how long it was not done, if it is still to do and that is over three of its periods;
    else None. Where each person does their own, the longest."""

    @property
    def is_open(self) -> bool:
        """True while it is still to be done."""
        return self.state in ("due", "overdue")

    @property
    def is_shared(self) -> bool:
        """True if it is not for certain people: anyone, or one of several, may do it."""
        return len(self.people) != 1 and not (self.each or self.together or self.done_by)

    @property
    def total(self) -> Count:
        """Minutes left of what the book says, for all the people who do it; 0 where it says
        none."""
        return (self.left or 0) * self.shares

    @property
    def left(self) -> Count | None:
        """Minutes left of what the book says, for each of the people; None where it says none."""
        return None if self.minutes is None else max(0, self.minutes - self.worked)

    @property
    def shares(self) -> int:
        """How many people do it: one, or all of them, each their own or together."""
        return max(1, len(self.people)) if self.each or self.together else 1


class Caution(NamedTuple):
    """What to mind with a thing that can hurt. The product's label, local rules and a licensed
    trade come first."""

    thing: str
    """The thing, in the word of the book."""
    caution: str
    """What to mind."""
    source: Authority
    last_word: LastWord = LAST_WORD


class Chosen(NamedTuple):
    """What the plan chooses for a window."""

    day: int | None = None
    person: str | None = None

    @property
    def when(self) -> date | None:
        """The day as a date."""
        return None if self.day is None else date.fromordinal(self.day)


UNPLANNED = Chosen()


def task_of(
    one: Occasion, learned: Learned | None, state: str | None = None, chosen: Chosen = UNPLANNED
) -> Task:
    """The task of a window, as seen on the day that the record is known up to.

    `learned` is what the record says of its minutes by that day; `state` is for windows that are
    not open, overdue or settled.
    """
    routine, chore = one.routine, one.timeline.chore
    off = learned is not None and differs(routine.minutes, learned.minutes)
    next_asked, last_asked = (None, None) if state == "missed" else asked_dates(one)
    is_open = one.mark is None and state is None
    return Task(
        chore=chore.name,
        title=chore.title,
        container=container(routine.section),
        areas=routine.areas,
        minutes=routine.minutes,
        lately=learned.minutes if learned is not None and off else None,
        worked=one.worked,
        real=took(one),
        people=people_for(one),
        done_by=done_by(one),
        each=one.person is not None,
        together=routine.assignment.form == "together",
        vital=routine.vital,
        expires=routine.expires,
        spare=routine.spare,
        expected=one.is_expected,
        state=state or one.state,
        first=date.fromordinal(one.first),
        last=date.fromordinal(one.last),
        next_asked=next_asked,
        last_asked=last_asked,
        planned=chosen.when,
        proposed=chosen.person,
        days_late=one.days_late,
        lateness=one.lateness,
        settled=None if one.mark is None else date.fromordinal(one.mark.day),
        after=routine.after,
        things=routine.things,
        steps=chore.steps,
        undone=undone_by(one.timeline, one.on) if is_open else None,
    )


def asked_dates(one: Occasion) -> tuple[date, date] | tuple[None, None]:
    """The first and the last day, from the day asked about on, on which a window is asked; None for
    both where there is none, and for one that is settled."""
    span = one.asked_span(one.on) if one.mark is None else None
    return (None, None) if span is None else (date.fromordinal(span[0]), date.fromordinal(span[1]))


def join_shares(tasks: Iterable[Task]) -> list[Task]:
    """The tasks, with shares of one chore that are in the same state joined to one task."""
    joined: dict[object, Task] = {}
    for task in tasks:
        key = task._replace(people=(), done_by=(), real=0, undone=None) if task.each else task
        if key in joined:
            other = joined[key]
            joined[key] = other._replace(
                people=other.people + task.people,
                done_by=other.done_by + task.done_by,
                real=other.real + task.real,
                undone=most_undone([one for one in (other.undone, task.undone) if one]),
            )
        else:
            joined[key] = task
    return list(joined.values())


class Following(Protocol):
    """What is done after chores of the same day."""

    @property
    def chore(self) -> str:
        """The name of its own chore."""

    @property
    def after(self) -> tuple[str, ...]:
        """The names of those that come before it."""


F = TypeVar("F", bound=Following)


def in_order(tasks: Sequence[F]) -> list[F]:
    """The tasks in the order given, but each behind those that its chore comes `after`."""
    by_chore: dict[str, list[F]] = {}
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

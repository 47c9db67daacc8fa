"""Pick: which tasks of a day fit in the minutes given."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import Literal, NamedTuple

from ledger.household.model import Household
from ledger.keeping.history import shares_of
from ledger.planning.pick import Candidate, Kind, pick
from ledger.report.apart import clashes
from ledger.report.task import Task, in_order
from ledger.text.fields import Count, Positive

MILLION = 1_000_000


class Picked(NamedTuple):
    """A task that fits."""

    task: Task
    """The task."""
    minutes: Count
    """Minutes it counts as: what is left of them, as learned where that differs. Of one person's
    list their own, else those of all the people who do it."""
    once_done: tuple[str, ...] = ()
    """Names of the chores that it comes after and that are still to do, but not on this list."""


class Left(NamedTuple):
    """A task that is left for later."""

    task: Task
    """The task."""
    minutes: Count | None
    """Minutes it counts as; None where they are not known."""
    reason: Literal["unknown", "too-long", "apart", "after", "no-room"]
    """Why it is left. `unknown`: its minutes are not known. `too-long`: it takes more than all the
    minutes given. `apart`: it must not be done on one day with another chore. `after`: it comes
    after a chore that is left. `no-room`: it does not fit beside what was picked."""
    apart_from: str | None = None
    """For `apart`, name of the chore, picked or done on the day, that it must be kept apart from;
    its own where it uses two things that must never meet. Else None."""
    after: str | None = None
    """For `after`, name of the chore that is left. Else None."""


class Pick(NamedTuple):
    """The best set of open tasks that fits: most vital ones that are late or on their last day;
    then most that cannot be done later; then the greatest sum of lateness; then most others in
    time, those on their last day first; then most minutes; spare ones last.

    None is in it without the open tasks of the list that its chore comes after, and no two that
    must not be done on one day."""

    minutes: Positive
    """Minutes given: of one person's list their own, else those of all people together."""
    used: Count
    """Minutes of the picked tasks together."""
    picked: tuple[Picked, ...]
    """The tasks to do, in the order in which to do them."""
    left: tuple[Left, ...]
    """The open tasks that are left for later."""

    @property
    def tasks(self) -> list[Task]:
        """The tasks that are picked."""
        return [one.task for one in self.picked]

    @property
    def rest(self) -> int:
        """Minutes left over."""
        return self.minutes - self.used


def pick_tasks(
    household: Household,
    day: int,
    tasks: Sequence[Task],
    everybodys: Sequence[Task],
    minutes: int,
    person: str | None,
) -> Pick:
    """The tasks to do in the minutes given, in working order, and those left for later.

    `tasks` are the open tasks of the list; of two that are equally good the first is picked.
    `everybodys` are all the tasks of the day. `person` is whose list it is, None for all people.

    `planning.pick` chooses the best set. A task with unknown minutes is never in it, nor is one
    that must be kept apart from something done on the day.
    """
    durations = [_counted(task, person) for task in tasks]
    all_tasks = [*tasks, *(task for task in everybodys if task.state == "done")]
    foes = _foes(all_tasks)
    kinds = [_kind(household, day, task) for task in tasks]
    taken = _chosen(tasks, durations, kinds, foes, minutes)
    on_day = {*taken, *range(len(tasks), len(all_tasks))}
    elsewhere = _elsewhere(tasks, everybodys)
    picked = {tasks[place]: durations[place] or 0 for place in taken}
    left = [place for place in range(len(tasks)) if place not in on_day]
    left_chores = {tasks[place].chore for place in left}

    def foe(place: int) -> Task | None:
        clashing = foes[place] & {*on_day, place}
        return all_tasks[min(clashing)] if clashing else None

    return Pick(
        minutes=minutes,
        used=sum(picked.values()),
        picked=tuple(
            Picked(task, picked[task], tuple(name for name in task.after if name in elsewhere))
            for task in in_order(list(picked))
        ),
        left=tuple(
            _left(tasks[place], durations[place], minutes, foe(place), left_chores)
            for place in left
        ),
    )


def _chosen(
    tasks: Sequence[Task],
    durations: Sequence[int | None],
    kinds: Sequence[Kind],
    foes: Sequence[set[int]],
    minutes: int,
) -> list[int]:
    """The places of the tasks to do, in order."""
    places = range(len(tasks))
    # What must be kept apart from itself is never chosen.
    apart = [(one, foe if foe in places else one) for one in places for foe in foes[one]]
    apart += [(one, one) for one in places if durations[one] is None]
    by_chore: dict[str, list[int]] = {}
    for place, task in enumerate(tasks):
        by_chore.setdefault(task.chore, []).append(place)
    after = [
        (place, before)
        for place, task in enumerate(tasks)
        for name in task.after
        for before in by_chore.get(name, ())
    ]
    candidates = [
        Candidate(duration or 0, kind, _lateness(task))
        for task, duration, kind in zip(tasks, durations, kinds, strict=True)
    ]
    return pick(candidates, minutes, apart, after)


def _kind(household: Household, day: int, task: Task) -> Kind:
    """What an open task of a day's list is."""
    if task.spare:
        return Kind.SPARE
    if task.state == "due" and task.last_asked is not None and task.last_asked.toordinal() > day:
        return Kind.MAY_WAIT
    if task.vital:
        return Kind.VITAL
    if task.state == "overdue":
        return Kind.LATE
    return Kind.LAST_CHANCE if _is_lost(household, day, task) else Kind.LAST_DAY


def _is_lost(household: Household, day: int, task: Task) -> bool:
    """True for a task on its last day that no later list shows, if it is not done: it expires, or
    its chore comes round again before it is next asked."""
    if task.expires and not household.chores[task.chore].is_after_done:
        return True
    for share in shares_of(household, household.chores[task.chore], day, day):
        one = share.shown
        if one is None or (task.each and one.person not in task.people):
            continue
        later = one.asked_span(day + 1)
        following = next(share.ahead(), None)
        if later is not None and (following is None or later[0] < following.first):
            return False
    return True


def _lateness(task: Task) -> int:
    # An overdue task counts as late, however small a part of its period that is.
    return max(1, round(task.lateness * MILLION)) if task.state == "overdue" else 0


def _elsewhere(tasks: Sequence[Task], everybodys: Sequence[Task]) -> set[str]:
    """The chores of which something is still to do that is not on the list."""
    listed: dict[str, set[str]] = {}
    for task in tasks:
        listed.setdefault(task.chore, set()).update(task.people)
    return {
        task.chore
        for task in everybodys
        if task.is_open
        and (task.chore not in listed or (task.each and not listed[task.chore] >= {*task.people}))
    }


def _foes(tasks: Sequence[Task]) -> list[set[int]]:
    """For each task the places of those that it must be kept apart from, possibly its own."""
    foes: list[set[int]] = [set() for _ in tasks]
    for one, other, _ in clashes(tasks):
        foes[one].add(other)
        foes[other].add(one)
    return foes


def _counted(task: Task, person: str | None) -> int | None:
    """Whole minutes left of a task, for all the people who do it, or for the one whose list it is;
    None where they are not known."""
    shares = task.shares if person is None else 1
    if task.lately is not None:
        return ceil(max(0, task.lately - task.worked) * shares)
    return None if task.left is None else task.left * shares


def _left(
    task: Task, needed: int | None, minutes: int, foe: Task | None, left_chores: set[str]
) -> Left:
    """A task that is left, and why. `foe` is a task that it must be kept apart from: one that is
    done or picked, or the task itself."""
    if needed is None:
        return Left(task, needed, "unknown")
    if needed > minutes:
        return Left(task, needed, "too-long")
    if foe is not None:
        return Left(task, needed, "apart", apart_from=foe.chore)
    before = next((name for name in task.after if name in left_chores), None)
    return Left(task, needed, "no-room" if before is None else "after", after=before)

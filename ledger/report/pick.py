"""Pick: which tasks of a day fit in the minutes given."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from typing import Literal, NamedTuple

from ledger.planning.pick import Candidate, pick
from ledger.report.apart import clashes
from ledger.report.task import Task, in_order
from ledger.text.fields import Count, Positive

MILLION = 1_000_000


class Picked(NamedTuple):
    """A task that fits."""

    task: Task
    """The task."""
    minutes: Count
    """Minutes it counts as, for all the people who do it: what is left of them, as learned where
    that differs."""


class Left(NamedTuple):
    """A task that is left for later."""

    task: Task
    """The task."""
    minutes: Count | None
    """Minutes it counts as; None where they are not known."""
    reason: Literal["unknown", "too-long", "apart", "no-room"]
    """Why it is left. `unknown`: its minutes are not known. `too-long`: it takes more than all the
    minutes given. `apart`: it must not be done on one day with another chore. `no-room`: it does
    not fit beside what was picked."""
    apart_from: str | None = None
    """For `apart`, name of the chore, picked or done on the day, that it must be kept apart from;
    its own where it uses two things that must never meet. Else None."""


class Pick(NamedTuple):
    """The best set of open tasks that fits: most vital ones, then most lateness, then most tasks on
    their last day, then most others with spare ones last, then fewest minutes."""

    minutes: Positive
    """Minutes given."""
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
    late: Sequence[Task],
    last_day: Sequence[Task],
    may_wait: Sequence[Task],
    minutes: int,
    done: Sequence[Task] = (),
) -> Pick:
    """The tasks to do in the minutes given, in working order, and those left for later.

    `planning.pick` chooses the best set. A task with unknown minutes is never in it, nor is one
    that must be kept apart from something done on the day.
    """
    tasks = [*late, *last_day, *may_wait]
    durations = [_counted(task) for task in tasks]
    all_tasks = [*tasks, *done]
    foes = _foes(all_tasks)
    done_places = set(range(len(tasks), len(tasks) + len(done)))
    places = [
        place
        for place, duration in enumerate(durations)
        if duration is not None and foes[place].isdisjoint({place, *done_places})
    ]
    number = {place: n for n, place in enumerate(places)}
    chosen = pick(
        [_candidate(tasks[place], durations[place] or 0, last_day) for place in places],
        minutes,
        [(number[one], number[foe]) for one in places for foe in foes[one] if foe in number],
    )
    taken = {places[n] for n in chosen}
    picked = {tasks[place]: durations[place] or 0 for place in sorted(taken)}

    def foe(place: int) -> Task | None:
        clashing = foes[place] & (taken | done_places | {place})
        return all_tasks[min(clashing)] if clashing else None

    return Pick(
        minutes=minutes,
        used=sum(picked.values()),
        picked=tuple(Picked(task, picked[task]) for task in in_order(list(picked))),
        left=tuple(
            _left(task, durations[place], minutes, foe(place))
            for place, task in enumerate(tasks)
            if place not in taken
        ),
    )


def _candidate(task: Task, duration: int, last_day: Sequence[Task]) -> Candidate:
    # An overdue task counts as late, however small a part of its period that is.
    late = max(1, round(task.lateness * MILLION)) if task.state == "overdue" else 0
    return Candidate(duration, late, task in last_day, task.vital, task.spare)


def _foes(tasks: Sequence[Task]) -> list[set[int]]:
    """For each task the places of those that it must be kept apart from, possibly its own."""
    foes: list[set[int]] = [set() for _ in tasks]
    for one, other, _ in clashes(tasks):
        foes[one].add(other)
        foes[other].add(one)
    return foes


def _counted(task: Task) -> int | None:
    """Whole minutes left of a task, for all the people who do it; None where they are not known."""
    if task.lately is not None:
        return ceil(max(0, task.lately - task.worked) * task.shares)
    return task.total if task.minutes is not None else None


def _left(task: Task, needed: int | None, minutes: int, foe: Task | None) -> Left:
    """A task that is left, and why. `foe` is a task that it must be kept apart from: one that is
    done or picked, or the task itself."""
    if needed is None:
        return Left(task, needed, "unknown")
    if needed > minutes:
        return Left(task, needed, "too-long")
    return Left(task, needed, "no-room") if foe is None else Left(task, needed, "apart", foe.chore)

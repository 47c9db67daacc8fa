"""Pick: what of a day fits in the minutes there are."""

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
    """Minutes that it is counted as, of all who each do it: as learned where that differs."""


class Left(NamedTuple):
    """A task that is left for later."""

    task: Task
    """The task."""
    minutes: Count | None
    """Minutes that it is counted as; None where nobody knows."""
    reason: Literal["unknown", "too-long", "apart", "no-room"]
    """Why it is left. `unknown`: its minutes are. `too-long`: for all the minutes there are.
    `apart`: it must not be done on one day with another chore. `no-room`: beside what was
    picked."""
    apart_from: str | None = None
    """Name of the chore, picked or done on the day, from which it must be kept apart; its own where
    it uses two things that must never meet; None where that is not why it is left."""


class Pick(NamedTuple):
    """The best set of open tasks that fits: most lateness, then most tasks on their last day, then
    most others, then fewest minutes."""

    minutes: Positive
    """Minutes there are."""
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
        """Minutes that are over."""
        return self.minutes - self.used


def pick_tasks(
    late: Sequence[Task],
    last_day: Sequence[Task],
    may_wait: Sequence[Task],
    minutes: int,
    done: Sequence[Task] = (),
) -> Pick:
    """The tasks to do in the minutes there are, in working order, and those left for later.

    Which is the best set, `planning.pick` says; a task that nobody knows the minutes of is in
    none, nor one that must be kept apart from what is done on the day already.
    """
    tasks = [*late, *last_day, *may_wait]
    spans = [_counted(task) for task in tasks]
    every = [*tasks, *done]
    foes = _foes(every)
    standing = set(range(len(tasks), len(tasks) + len(done)))
    places = [
        place
        for place, span in enumerate(spans)
        if span is not None and foes[place].isdisjoint({place, *standing})
    ]
    number = {place: n for n, place in enumerate(places)}
    chosen = pick(
        [_candidate(tasks[place], spans[place] or 0, last_day) for place in places],
        minutes,
        [(number[one], number[foe]) for one in places for foe in foes[one] if foe in number],
    )
    taken = {places[n] for n in chosen}
    picked = {tasks[place]: spans[place] or 0 for place in sorted(taken)}

    def foe(place: int) -> Task | None:
        near = foes[place] & (taken | standing | {place})
        return every[min(near)] if near else None

    return Pick(
        minutes=minutes,
        used=sum(picked.values()),
        picked=tuple(Picked(task, picked[task]) for task in in_order(list(picked))),
        left=tuple(
            _left(task, spans[place], minutes, foe(place))
            for place, task in enumerate(tasks)
            if place not in taken
        ),
    )


def _candidate(task: Task, span: int, last_day: Sequence[Task]) -> Candidate:
    # However little of its period a task is late by, it counts as late.
    late = max(1, round(task.lateness * MILLION)) if task.state == "overdue" else 0
    return Candidate(span, late, task in last_day)


def _foes(tasks: Sequence[Task]) -> list[set[int]]:
    """For each task the places of those that it must be kept apart from, perhaps itself."""
    foes: list[set[int]] = [set() for _ in tasks]
    for one, other, _ in clashes(tasks):
        foes[one].add(other)
        foes[other].add(one)
    return foes


def _counted(task: Task) -> int | None:
    """Whole minutes that a task takes, of all who each do it; None where nobody knows."""
    if task.lately is not None:
        return ceil(task.lately * task.shares)
    return task.total if task.minutes is not None else None


def _left(task: Task, span: int | None, minutes: int, foe: Task | None) -> Left:
    """A task that is left, and why; `foe` is one, done or picked or itself, that it must be kept
    apart from."""
    if span is None:
        return Left(task, span, "unknown")
    if span > minutes:
        return Left(task, span, "too-long")
    return Left(task, span, "no-room") if foe is None else Left(task, span, "apart", foe.chore)

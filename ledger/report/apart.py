"""Kept apart: chores of one day that use things which must never meet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, NamedTuple

from ledger.household.apart import Pair, pairs
from ledger.household.things import LAST_WORD
from ledger.report.task import Task
from ledger.text.fields import Authority, Bounds, LastWord

OPEN = ("due", "overdue")


class KeptApart(NamedTuple):
    """Two chores that must not be done on one day because of what they use, or one chore that uses
    two such things itself."""

    chores: Annotated[tuple[str, ...], Bounds(1, 2)]
    """Names of the two, or of the one that uses both things."""
    things: tuple[str, str]
    """The things that must never meet, in the words of the book and in the order of the chores."""
    areas: tuple[str, ...]
    """Names of the areas in which both are done. Empty where one of them names no area: it counts
    as done everywhere."""
    gives: str
    """What the two things do when they meet."""
    source: Authority
    last_word: LastWord = LAST_WORD


def kept_apart(tasks: Sequence[Task]) -> tuple[KeptApart, ...]:
    """The tasks of a day that must be kept apart, each pair of chores once. At least one of the two
    is still to do."""
    by_chores: dict[tuple[str, ...], KeptApart] = {}
    for one, other, clash in clashes(tasks):
        first, second = tasks[one], tasks[other]
        chores = tuple(dict.fromkeys((first.chore, second.chore)))
        areas = tuple(area for area in first.areas if area in second.areas)
        danger = clash.danger
        things = clash.one, clash.other
        by_chores.setdefault(chores, KeptApart(chores, things, areas, danger.gives, danger.source))
    return tuple(by_chores.values())


def clashes(tasks: Sequence[Task]) -> Iterator[Pair]:
    """The positions of tasks that must not be done on one day. One of the two is still to do; the
    other is still to do or done."""
    for pair in pairs(tasks):
        states = tasks[pair.one].state, tasks[pair.other].state
        if any(state in OPEN for state in states) and all(
            state in (*OPEN, "done") for state in states
        ):
            yield pair

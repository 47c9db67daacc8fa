"""Kept apart: chores of one day with things that must never meet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, NamedTuple

from ledger.household.apart import Pair, pairs
from ledger.household.things import LAST_WORD
from ledger.report.task import Task
from ledger.text.fields import Authority, Bounds, LastWord

OPEN = ("due", "overdue")


class KeptApart(NamedTuple):
    """Two chores that must not both be done on a day, for what they use, or one that must not be
    done as it is."""

    chores: Annotated[tuple[str, ...], Bounds(1, 2)]
    """Names of the two, or of the one that uses both things."""
    things: tuple[str, str]
    """What must never meet, in the words of the book and in the order of the chores."""
    areas: tuple[str, ...]
    """Names of the areas in which both are done; none where one of them names no area, which counts
    as everywhere."""
    gives: str
    """What the two things do where they meet."""
    source: Authority
    last_word: LastWord = LAST_WORD


def kept_apart(tasks: Sequence[Task]) -> tuple[KeptApart, ...]:
    """The tasks of a day that must be kept apart, each two chores once, something of them being
    still to do."""
    found: dict[tuple[str, ...], KeptApart] = {}
    for one, other, clash in clashes(tasks):
        first, second = tasks[one], tasks[other]
        chores = tuple(dict.fromkeys((first.chore, second.chore)))
        areas = tuple(area for area in first.areas if area in second.areas)
        known = clash.danger
        things = clash.one, clash.other
        found.setdefault(chores, KeptApart(chores, things, areas, known.gives, known.source))
    return tuple(found.values())


def clashes(tasks: Sequence[Task]) -> Iterator[Pair]:
    """The places of tasks that must not be done on one day, one of the two still to do and the
    other not let be."""
    for pair in pairs(tasks):
        states = tasks[pair.one].state, tasks[pair.other].state
        if any(state in OPEN for state in states) and all(
            state in (*OPEN, "done") for state in states
        ):
            yield pair

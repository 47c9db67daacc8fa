"""Effort: the minutes of what the record says was done, and who kept to their turns."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from ledger.household.model import Household, Routine
from ledger.keeping.occasion import KEPT, Occasion, OutcomeKind
from ledger.keeping.turns import people_for
from ledger.text.fields import Count
from ledger.text.tree import RecordEntry


class Work(NamedTuple):
    """A chore that was done, or partly done, by one line of the record."""

    chore: str
    routine: Routine
    timed: int | None
    """Minutes, where the line says them; else None."""
    people: tuple[str | None, ...]
    """Those who did the work; None stands for somebody whom the line does not name."""
    before: int = 0
    """Minutes worked on its window by earlier lines."""
    is_done: bool = True
    """False where the line says that only some of it was done."""

    @property
    def minutes(self) -> int | None:
        """Minutes as timed, else what was left of those declared, of all people together; None
        where neither is known."""
        each = self.each
        return None if each is None else each * len(self.people)

    @property
    def each(self) -> int | None:
        """The minutes of each of the people: the clock's, which everyone worked in full."""
        declared = self.routine.minutes
        if self.timed is not None or declared is None:
            return self.timed
        return max(0, declared - self.before)


LineOfWork = tuple[Routine, int]
"""The line of the routine by which a chore was done, and the minutes worked on it before."""


class Turns(NamedTuple):
    """How one person kept to turns, over the windows that were done, missed or are owed."""

    turns: Count
    """Windows whose turn was this person's."""
    own: Count
    """Those of them that the person did, alone or with others."""
    unnamed: Count
    """Those of them done by a line that names nobody."""
    others: Count
    """Windows that the person did in the turn of somebody who took no part."""


NO_TURNS = Turns(0, 0, 0, 0)


def works(
    household: Household, line_of: Callable[[int, str], LineOfWork], low: int, high: int
) -> Iterator[Work]:
    """What was done from day `low` to `high`.

    `line_of` gives the line of the routine, for a position in the record and a chore named
    there.
    """
    log = household.log
    for index in range(bisect_left(log.dates, low), bisect_right(log.dates, high)):
        entry = log.entries[index]
        if entry.verb in ("did", "worked"):
            for chore, timed in _items(entry).items():
                routine, before = line_of(index, chore)
                people, is_done = _workers(household, routine, entry), entry.verb == "did"
                yield Work(chore, routine, timed, people, before if is_done else 0, is_done)


def _items(entry: RecordEntry) -> dict[str, int | None]:
    """The chores of a line with their minutes; one that it names twice counts once."""
    items: dict[str, int | None] = {}
    for item in entry.items:
        if items.get(item.name.value) is None:
            items[item.name.value] = item.minutes.value if item.minutes is not None else None
    return items


def _workers(household: Household, routine: Routine, entry: RecordEntry) -> tuple[str | None, ...]:
    """Who did the work of a line. Where it names nobody: the only person who may do the chore, or
    everyone where each does their own or all do it together."""
    if entry.people:
        named = dict.fromkeys(person.value for person in entry.people)
        return tuple(name if name in household.people else None for name in named)
    able = routine.assignment.people or tuple(household.people)
    if routine.assignment.form in ("each", "together") or len(able) == 1:
        return able or (None,)
    return (None,)


def minutes_by_person(household: Household, done: Iterable[Work]) -> dict[str | None, int]:
    """The minutes of each person of the household, in the order of the book, and under None those
    of nobody known. Everyone who did something together worked its minutes in full."""
    total: dict[str | None, int] = dict.fromkeys([*household.people, None], 0)
    for work in done:
        for person in work.people:
            total[person] += work.each or 0
    return total


def turns_by_person(household: Household, windows: Sequence[Occasion]) -> dict[str, Turns]:
    """How each person of the household kept to turns in some windows."""
    kept = dict.fromkeys(household.people, NO_TURNS)
    for outcome in windows:
        in_turn = outcome.routine.assignment.form == "then" and outcome.person is None
        if not in_turn or outcome.fate not in KEPT | {OutcomeKind.MISSED, OutcomeKind.OWED}:
            continue
        (owner,) = people_for(outcome)
        entry = household.log.entries[outcome.mark.line] if outcome.mark is not None else None
        named = {person.value for person in entry.people} if entry is not None else set()
        turn = kept[owner]
        kept[owner] = turn._replace(
            turns=turn.turns + 1,
            own=turn.own + (owner in named),
            unnamed=turn.unnamed + (entry is not None and not named),
        )
        for helper in set() if owner in named else named & kept.keys():
            kept[helper] = kept[helper]._replace(others=kept[helper].others + 1)
    return kept

"""Minutes: how long a chore takes, as declared and as learned from the record."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from functools import cache
from typing import NamedTuple

from ledger.household.record import Log

TIMED_LINES_NEEDED = 5
TIMED_LINES_USED = 9


class Learned(NamedTuple):
    """What timed lines say of a chore."""

    minutes: float
    """Median of the latest timed lines, at most nine of them."""
    timed: tuple[int, ...]
    """Their minutes, the latest first."""

    @property
    def lines(self) -> int:
        """How many timed lines were used, at most nine."""
        return len(self.timed)


def learned_by(log: Log, day: int) -> Callable[[str], Learned | None]:
    """A function from a chore to its learned figure by a day, which works each out only once."""
    return cache(lambda chore: learned_minutes(log, chore, day))


def learned_minutes(log: Log, chore: str, day: int) -> Learned | None:
    """The learned figure of a chore by a day, or None before five of its lines were timed."""
    positions = log.by_chore.get(chore, ())
    end = bisect_right(positions, day, key=log.dates.__getitem__)
    timed: list[int] = []
    for index in reversed(positions[:end]):
        timed += log.minutes(index, chore)
        if len(timed) >= TIMED_LINES_USED:
            break
    timed = timed[:TIMED_LINES_USED]
    if len(timed) < TIMED_LINES_NEEDED:
        return None
    return Learned(_median(timed), tuple(timed))


def _median(numbers: list[int]) -> float:
    """The median. `statistics` would load decimals and fractions at every start."""
    ranked, middle = sorted(numbers), len(numbers) // 2
    return (ranked[middle] + ranked[-middle - 1]) / 2


def differs(declared: int | None, learned: float) -> bool:
    """True if the figures differ by over a quarter and two minutes, or none is declared."""
    if declared is None:
        return True
    gap = abs(learned - declared)
    return gap > declared / 4 and gap > 2

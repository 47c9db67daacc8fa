"""Minutes: how long a chore takes, as declared and as learned from the record."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from functools import cache
from typing import NamedTuple

from ledger.household.model import Household
from ledger.keeping.averages import median
from ledger.keeping.history import shares_of

TIMED_LINES_NEEDED = 5
TIMED_LINES_USED = 9


class Learned(NamedTuple):
    """What timed lines say of a chore."""

    minutes: float
    """Median of the latest timed lines, at most nine of them."""
    timed: tuple[int, ...]
    """Their minutes, the latest first."""
    days: tuple[int, ...]
    """Their days."""

    @property
    def lines(self) -> int:
        """How many timed lines were used, at most nine."""
        return len(self.timed)


def learned_by(household: Household, day: int) -> Callable[[str], Learned | None]:
    """A function from a chore to its learned figure by a day, which works each out only once."""
    return cache(lambda chore: learned_minutes(household, chore, day))


def learned_minutes(household: Household, chore: str, day: int) -> Learned | None:
    """The learned figure of a chore by a day, or None before five of its lines were timed.

    A `did` with minutes is one timing: its own minutes and those worked before on its window.
    """
    log = household.log
    positions = log.by_chore.get(chore, ())
    end = bisect_right(positions, day, key=log.dates.__getitem__)
    timings: list[tuple[int, int]] = []
    for index in reversed(positions[:end]):
        if log.entries[index].verb == "did":
            timings += ((index, minutes) for minutes in log.minutes(index, chore))
        if len(timings) >= TIMED_LINES_USED:
            break
    timings = timings[:TIMED_LINES_USED]
    if len(timings) < TIMED_LINES_NEEDED:
        return None
    worked = worked_before(household, chore, log.dates[timings[-1][0]], day)
    timed = [minutes + worked.pop(index, 0) for index, minutes in timings]
    days = tuple(log.dates[index] for index, _ in timings)
    return Learned(median(timed), tuple(timed), days)


def worked_before(household: Household, name: str, low: int, day: int) -> dict[int, int]:
    """The minutes worked on windows before they were done, by the index of the line that says so,
    for lines from day `low` to `day`."""
    if name not in household.log.worked or name not in household.chores:
        return {}
    worked: dict[int, int] = {}
    for share in shares_of(household, household.chores[name], low, day):
        for one in share.occasions:
            if one.mark is not None and one.worked:
                # Several people's windows, each worked on alone, may be done by one line.
                worked[one.mark.line] = max(one.worked, worked.get(one.mark.line, 0))
    return worked


def differs(declared: int | None, learned: float) -> bool:
    """True if the figures differ by over a quarter and two minutes, or none is declared."""
    if declared is None:
        return True
    gap = abs(learned - declared)
    return gap > declared / 4 and gap > 2

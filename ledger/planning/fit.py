"""Fit: in one pass over the days, which windows do not fit, and how full the fullest day must be.

The pass works earliest closing first (Horn 1974, "Some simple scheduling algorithms", from
memory): no other way of splitting the minutes leaves less undone.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from heapq import heappop, heappush
from typing import NamedTuple

from ledger.household.model import Span

BOUNDLESS = 10**9
"""More minutes than any windows add up to: the room of a day without a limit."""


class Ask(NamedTuple):
    """Windows, in order and without overlap, that ask for `minutes` each.

    Days are counted from the first day looked at. Equal windows share the two rows.
    """

    firsts: Sequence[int]
    lasts: Sequence[int]
    minutes: int
    layer: int = 0
    """Whose room it takes: 0 is the household, the others are people with a limit."""

    def inside(self, first: int, last: int) -> int:
        """Minutes of the windows that lie inside a span."""
        count = bisect_right(self.lasts, last) - bisect_left(self.firsts, first)
        return self.minutes * max(0, count)


class Load:
    """The minutes that windows ask of a row of days; one-day windows are stored separately."""

    def __init__(self, days: int) -> None:
        self.single = [0] * days
        self.wide: dict[Span, int] = {}

    def copy(self) -> Load:
        """An independent copy."""
        other = Load(0)
        other.single, other.wide = self.single.copy(), self.wide.copy()
        return other

    def add(self, ask: Ask, sign: int = 1) -> None:
        """Add windows, or with a `sign` of -1 remove them."""
        single, wide, minutes = self.single, self.wide, ask.minutes * sign
        for span in zip(ask.firsts, ask.lasts, strict=True):
            if span[0] == span[1]:
                single[span[0]] += minutes
            else:
                wide[span] = wide.get(span, 0) + minutes

    def inside(self, first: int, last: int) -> int:
        """Minutes of the windows that lie inside a span."""
        if first == last:
            return self.single[first]
        return sum(self.single[first : last + 1]) + sum(
            minutes for span, minutes in self.wide.items() if first <= span[0] and span[1] <= last
        )


class Miss(NamedTuple):
    """A day, and the minutes of windows closing on it that cannot be done."""

    day: int
    minutes: int


def misses(load: Load, rooms: Sequence[int]) -> list[Miss]:
    """What a row of days with some room leaves undone; empty if all fits.

    No way of splitting leaves fewer minutes in total.
    """
    opening: dict[int, list[tuple[int, int]]] = {}
    for (first, last), minutes in load.wide.items():
        if minutes:
            opening.setdefault(first, []).append((last, minutes))
    open_windows: list[tuple[int, int]] = []
    missed = []
    for day, (room, minutes) in enumerate(zip(rooms, load.single, strict=True)):
        left, room = minutes - room, room - minutes
        for one in opening.get(day, ()):
            heappush(open_windows, one)
        while open_windows and room > 0:
            last, minutes = open_windows[0]
            if minutes > room:
                open_windows[0] = last, minutes - room
            else:
                heappop(open_windows)
            room -= minutes
        left = max(0, left)
        while open_windows and open_windows[0][0] == day:
            left += heappop(open_windows)[1]
        if left:
            missed.append(Miss(day, left))
    return missed


def worst_span(load: Load, rooms: Sequence[int], last: int) -> Span:
    """Of the spans that end on a day, the one whose windows exceed its room by most."""
    opened = load.single[: last + 1]
    for (first, end), minutes in load.wide.items():
        if end <= last:
            opened[first] += minutes
    over, most, worst = 0, -BOUNDLESS, last
    for first in range(last, -1, -1):
        over += opened[first] - rooms[first]
        if over > most:
            most, worst = over, first
        elif over < -BOUNDLESS // 2:
            break
    return worst, last


def rooms_of(limits: Iterable[int | None], height: int | None = None) -> list[int]:
    """The room of each day: its limit, and no more than `height` if given."""
    most = BOUNDLESS if height is None else height
    return [most if limit is None else min(limit, most) for limit in limits]


def raised(load: Load, limits: Sequence[int | None]) -> list[int | None]:
    """The limits, each raised by the minutes that do not fit on its day."""
    higher = list(limits)
    for day, minutes in misses(load, rooms_of(limits)):
        higher[day] = (higher[day] or 0) + minutes
    return higher


def height_of(load: Load, limits: Sequence[int | None]) -> int:
    """The fewest minutes that the fullest day can have.

    Everything must fit the limits.
    """
    height = max(load.single, default=0)
    while missed := misses(load, rooms_of(limits, height)):
        first, last = worst_span(load, rooms_of(limits, height), missed[0].day)
        # This span needs at least this height, by the demand criterion.
        height = lowest_height(load.inside(first, last), limits[first : last + 1])
    return height


def lowest_height(minutes: int, limits: Sequence[int | None]) -> int:
    """The lowest height at which days with these limits hold some minutes together.

    The limits together must hold them.
    """
    left, rooms = minutes, sorted(rooms_of(limits), reverse=True)
    # Days with less room than an even share are filled.
    while rooms[-1] * len(rooms) < left:
        left -= rooms.pop()
    return -(-left // len(rooms))

"""Fit: in one pass over the days, which windows do not fit, and how full the fullest day must be.

The pass works earliest closing first (Horn 1974, "Some simple scheduling algorithms", from
memory): whatever it leaves undone no other way of splitting the minutes would have done.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from heapq import heappop, heappush
from typing import NamedTuple

from ledger.calendar.absence import Span

BOUNDLESS = 10**9
"""Minutes that no sum of windows comes to: the room of a day without a limit."""


class Ask(NamedTuple):
    """Windows in order and apart that ask for so many minutes each.

    Days are counted from the first day looked at. Of windows alike the two rows are shared.
    """

    firsts: Sequence[int]
    lasts: Sequence[int]
    minutes: int
    layer: int = 0
    """Whose room it takes: 0 is the household's, the others those of people with a limit."""

    def inside(self, first: int, last: int) -> int:
        """Minutes of the windows that lie inside a span."""
        held = bisect_right(self.lasts, last) - bisect_left(self.firsts, first)
        return self.minutes * max(0, held)


class Load:
    """The minutes that windows ask of a row of days, windows of one day kept apart from longer."""

    def __init__(self, days: int) -> None:
        self.single = [0] * days
        self.wide: dict[Span, int] = {}

    def copy(self) -> Load:
        """The same load, to be changed on its own."""
        other = Load(0)
        other.single, other.wide = self.single.copy(), self.wide.copy()
        return other

    def add(self, ask: Ask, sign: int = 1) -> None:
        """Take windows in, or with a sign of -1 out again."""
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
    """A day at whose end some minutes that close by it cannot have been done."""

    day: int
    minutes: int


def misses(load: Load, rooms: Sequence[int]) -> list[Miss]:
    """What a row of days with so many minutes of room leaves undone; nothing if all fits.

    Its minutes together are the fewest that can be left.
    """
    opening: dict[int, list[tuple[int, int]]] = {}
    for (first, last), minutes in load.wide.items():
        if minutes:
            opening.setdefault(first, []).append((last, minutes))
    waiting: list[tuple[int, int]] = []
    found = []
    for day, (room, minutes) in enumerate(zip(rooms, load.single, strict=True)):
        left, room = minutes - room, room - minutes
        for one in opening.get(day, ()):
            heappush(waiting, one)
        while waiting and room > 0:
            last, minutes = waiting[0]
            if minutes > room:
                waiting[0] = last, minutes - room
            else:
                heappop(waiting)
            room -= minutes
        left = max(0, left)
        while waiting and waiting[0][0] == day:
            left += heappop(waiting)[1]
        if left:
            found.append(Miss(day, left))
    return found


def worst_span(load: Load, rooms: Sequence[int], last: int) -> Span:
    """Of the spans up to a day the one whose windows ask for most beyond its room."""
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
    """The room of each day: its limit, and no more than a height where one is given."""
    most = BOUNDLESS if height is None else height
    return [most if limit is None else min(limit, most) for limit in limits]


def raised(load: Load, limits: Sequence[int | None]) -> list[int | None]:
    """The limits, those days given more that what stands does not fit by."""
    found = list(limits)
    for day, minutes in misses(load, rooms_of(limits)):
        found[day] = (found[day] or 0) + minutes
    return found


def height_of(load: Load, limits: Sequence[int | None]) -> int:
    """The fewest minutes that the fullest day can have, in days that hold what they must.

    The limits are such that everything fits.
    """
    height = max(load.single, default=0)
    while found := misses(load, rooms_of(limits, height)):
        first, last = worst_span(load, rooms_of(limits, height), found[0].day)
        # The criterion names a height that this span needs; no lower one can do.
        height = lowest_height(load.inside(first, last), limits[first : last + 1])
    return height


def lowest_height(minutes: int, limits: Sequence[int | None]) -> int:
    """The lowest height at which days of these limits hold so many minutes together.

    The limits together hold them.
    """
    left, rooms = minutes, sorted(rooms_of(limits), reverse=True)
    # Days that hold less than an even share hold what they can.
    while rooms[-1] * len(rooms) < left:
        left -= rooms.pop()
    return -(-left // len(rooms))

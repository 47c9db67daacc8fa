"""Pick: the best of what is open that fits in so many minutes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

BRANCHES = 200
"""Tasks kept apart from others that are tried both ways: with them, and without."""


class Candidate(NamedTuple):
    """A task that may be picked."""

    minutes: int
    """At least 1."""
    lateness: int
    """Days late over the chore's own period, in millionths; 0 for one in time."""
    today: bool
    """In time, and on the last day of its window."""


def pick(
    candidates: Sequence[Candidate], room: int, apart: Collection[tuple[int, int]] = ()
) -> list[int]:
    """The places of the tasks to do in `room` minutes, in order: no other choice is better.

    Better is what takes most lateness away; then what does most tasks that are on their last
    day; then most of the others; then what takes fewest minutes; then what has the earlier
    tasks. Of two places that are `apart` one at most is taken; one that is apart from itself
    never is. Dynamic programming over the minutes (Bellman, Dynamic programming, 1957), and
    over what is kept apart one way and the other; where that hangs together in more than
    `BRANCHES` ways, some of them are left untried.
    """
    last = len(candidates) - 1
    # The places that are taken stand in the last digits, the earlier the more they weigh.
    values = [
        (worth << len(candidates)) + (1 << (last - place))
        for place, worth in enumerate(_worth(candidates, room))
    ]
    never = {one for one, other in apart if one == other}
    foes: dict[int, set[int]] = {place: set() for place in range(len(candidates))}
    for one, other in apart:
        foes[one].add(other)
        foes[other].add(one)
    table = _Table([candidate.minutes for candidate in candidates], values, foes)
    best = table.with_more([0] * (room + 1), [place for place in foes if place not in never])
    return [place for place in foes if best[room] >> (last - place) & 1]


class _Table:
    """For all minutes that there may be, the best that some tasks come to."""

    def __init__(
        self, minutes: Sequence[int], values: Sequence[int], foes: dict[int, set[int]]
    ) -> None:
        self.minutes, self.values, self.foes = minutes, values, foes
        self.branches = BRANCHES

    def with_more(self, best: list[int], places: Sequence[int]) -> list[int]:
        """The best with more tasks to choose from."""
        for part in self._parts(places):
            best = self._with_part(best, part)
        return best

    def _with_part(self, best: list[int], part: Sequence[int]) -> list[int]:
        if len(part) == 1:
            minutes, value = self.minutes[part[0]], self.values[part[0]]
            with_it = (left + value for left in best)
            return best[:minutes] + list(map(max, best[minutes:], with_it))
        hub = self._hub(part)
        against = self.foes[hub].intersection(part)
        alike = {one for one in part if self.foes[one].intersection(part) == against}
        found = self.with_more(best, [one for one in part if one not in against])
        if self.branches > 0:
            self.branches -= 1
            without = self.with_more(best, [one for one in part if one not in alike])
            found = list(map(max, found, without))
        return found

    def _parts(self, places: Iterable[int]) -> Iterator[list[int]]:
        """The tasks in parts of which none must be kept apart from another."""
        waiting = dict.fromkeys(places)
        for start in list(waiting):
            if start not in waiting:
                continue
            del waiting[start]
            part, edge = [start], [start]
            while edge:
                for one in sorted(self.foes[edge.pop()].intersection(waiting)):
                    del waiting[one]
                    part.append(one)
                    edge.append(one)
            yield part

    def _hub(self, part: Sequence[int]) -> int:
        """The task without which the rest falls into the smallest parts; of equals that with
        most against it."""

        def rest(hub: int) -> tuple[int, int]:
            parts = self._parts(one for one in part if one != hub)
            return max(map(len, parts)), -len(self.foes[hub].intersection(part))

        return min(part, key=rest)


def _worth(candidates: Sequence[Candidate], room: int) -> list[int]:
    """Each task as one whole number, so made that sums compare as the reasons of `pick` do,
    the first before the second."""
    one = room + 1
    last_day = one * (len(candidates) + 1)
    late = last_day * (len(candidates) + 1)
    return [
        candidate.lateness * late
        + (last_day if candidate.today else one if not candidate.lateness else 0)
        - candidate.minutes
        for candidate in candidates
    ]

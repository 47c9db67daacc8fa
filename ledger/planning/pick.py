"""Pick: the best open tasks that fit in the given minutes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

BRANCHES = 200
"""How often a task with foes (tasks to keep apart from it) is tried with it and without."""


class Candidate(NamedTuple):
    """A task that may be picked."""

    minutes: int
    """0 where all of them were worked already."""
    lateness: int
    """Days late divided by the chore's period, in millionths; 0 for one in time."""
    today: bool
    """In time, and on the last day of its window."""
    vital: bool = False
    """To be done before all else."""
    spare: bool = False
    """To be done only if nothing else is left out for it."""


def pick(
    candidates: Sequence[Candidate], room: int, apart: Collection[tuple[int, int]] = ()
) -> list[int]:
    """The indices of the best tasks to do in `room` minutes, in order.

    Better is: more vital tasks; then more lateness removed; then more tasks on their last day; then
    more of the others in time, spare ones last; then fewer minutes; then earlier tasks. Of two
    tasks that are `apart` at most one is taken; one that is apart from itself never is.

    Dynamic programming over the minutes (Bellman, Dynamic programming, 1957); a task that others
    are apart from is tried both with it and without. After `BRANCHES` such trials it is tried with
    it only, and the answer may not be the best.
    """
    last = len(candidates) - 1
    # The lowest bits tell which tasks are taken; an earlier task has a higher bit.
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
    """For each number of minutes, the best value that some tasks reach."""

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
        foes = self.foes[hub].intersection(part)
        alike = {one for one in part if self.foes[one].intersection(part) == foes}
        with_hub = self.with_more(best, [one for one in part if one not in foes])
        if self.branches > 0:
            self.branches -= 1
            without = self.with_more(best, [one for one in part if one not in alike])
            with_hub = list(map(max, with_hub, without))
        return with_hub

    def _parts(self, places: Iterable[int]) -> Iterator[list[int]]:
        """The tasks split into parts, with no foes in different parts."""
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
        """The task without which the rest falls into the smallest parts; of equals the one with
        most foes."""

        def rest(hub: int) -> tuple[int, int]:
            parts = self._parts(one for one in part if one != hub)
            return max(map(len, parts)), -len(self.foes[hub].intersection(part))

        return min(part, key=rest)


def _worth(candidates: Sequence[Candidate], room: int) -> list[int]:
    """A whole number for each task; sums of them compare by the aims of `pick`, in their order."""
    spare = room + 1
    in_time = spare * (len(candidates) + 1)
    last_day = in_time * (len(candidates) + 1)
    late = last_day * (len(candidates) + 1)
    vital = late * (1 + sum(candidate.lateness for candidate in candidates))

    def in_days(one: Candidate) -> int:
        if one.today:
            return last_day
        return 0 if one.lateness else spare if one.spare else in_time

    return [
        one.vital * vital + one.lateness * late + in_days(one) - one.minutes for one in candidates
    ]

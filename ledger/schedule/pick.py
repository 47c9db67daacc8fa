"""Pick: the best of what is open that fits in so many minutes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Candidate(NamedTuple):
    """A task that may be picked."""

    minutes: int
    """At least 1."""
    lateness: int
    """Days late over the chore's own period, in millionths; 0 for one in time."""
    today: bool
    """In time, and on the last day of its window."""


def pick(candidates: Sequence[Candidate], room: int) -> list[int]:
    """The places of the tasks to do in `room` minutes, in order: no other choice is better.

    Better is what takes most lateness away; then what does most tasks that are on their last
    day; then most of the others; then what takes fewest minutes; then what has the earlier
    tasks. Dynamic programming over the minutes (Bellman, Dynamic programming, 1957).
    """
    worth = _worth(candidates, room)
    best = [0] * (room + 1)
    # For each task from the last on, and for all minutes that there may be, the best that it
    # and those after it come to.
    reached = [best]
    for candidate, value in zip(reversed(candidates), reversed(worth), strict=True):
        minutes = candidate.minutes
        best = best[:minutes] + [
            max(without, left + value) for without, left in zip(best[minutes:], best, strict=False)
        ]
        reached.append(best)
    picked = []
    for place, candidate in enumerate(candidates):
        here, after = reached[-1 - place], reached[-2 - place]
        left = room - candidate.minutes
        if left >= 0 and after[left] + worth[place] == here[room]:
            picked.append(place)
            room = left
    return picked


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

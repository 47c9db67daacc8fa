"""A placement's figures, counted plainly, and the best of all placements by trying each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import product
from typing import NamedTuple


class Piece(NamedTuple):
    """One window to be placed on one day."""

    days: tuple[int, ...]
    opens: int
    minutes: int
    own: tuple[tuple[str, int], ...] = ()
    label: str = ""
    is_late: bool = False
    rank: tuple[object, ...] = ()


class Problem(NamedTuple):
    """Windows, and the days that they are placed on."""

    pieces: Sequence[Piece]
    first: int
    last: int
    limits: Mapping[int, int | None] = {}
    personal: Mapping[str, Mapping[int, int | None]] = {}
    apart: Sequence[tuple[int, int]] = ()
    after: Sequence[tuple[int, int]] = ()
    taken: Mapping[int, int] = {}
    personal_taken: Mapping[str, Mapping[int, int]] = {}


class Score(NamedTuple):
    """What is wrong with a placement, the worst first."""

    out_of_order: int
    together: int
    over: int
    over_people: int
    heaviest: int
    waits: int


def broken(problem: Problem, days: Sequence[int]) -> list[str]:
    """The windows on a day that is not one of theirs, in words."""
    assert len(days) == len(problem.pieces)
    return [
        f"{one.label}: {day} is not among {one.days}"
        for one, day in zip(problem.pieces, days, strict=True)
        if day not in one.days
    ]


def score_of(problem: Problem, days: Sequence[int]) -> Score:
    """The figures of a placement."""
    pieces = problem.pieces
    loads, own = Counter(problem.taken), Counter[tuple[str, int]]()
    for name, minutes_on in problem.personal_taken.items():
        own.update({(name, day): minutes for day, minutes in minutes_on.items()})
    for one, day in zip(pieces, days, strict=True):
        loads[day] += one.minutes
        own.update({(name, day): minutes for name, minutes in own_minutes(one).items()})
    span = range(problem.first, problem.last + 1)
    return Score(
        sum(pieces[a].opens <= days[b] < days[a] for a, b in problem.after),
        sum(days[a] == days[b] for a, b in problem.apart),
        sum(_beyond(loads[day], problem.limits.get(day)) for day in span),
        sum(
            _beyond(own[name, day], limits.get(day))
            for name, limits in problem.personal.items()
            for day in span
        ),
        max((loads[day] for day in span), default=0),
        sum(day - problem.first for one, day in zip(pieces, days, strict=True) if one.is_late),
    )


def best_by_trying(problem: Problem, within: Sequence[int] = ()) -> Score:
    """The best of all placements whose first figures are no more than `within`; for few only."""
    scores = (score_of(problem, days) for days in product(*(one.days for one in problem.pieces)))
    return min(
        (s for s in scores if all(a <= b for a, b in zip(s, within, strict=False))),
        key=lambda s: s[len(within) :],
    )


def own_minutes(piece: Piece) -> Counter[str]:
    """The minutes of a window that are surely one person's, by person."""
    minutes = Counter[str]()
    for name, more in piece.own:
        minutes[name] += more
    return minutes


def _beyond(minutes: int, limit: int | None) -> int:
    return 0 if limit is None else max(0, minutes - limit)

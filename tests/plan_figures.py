"""A placement's figures, counted plainly, and the best of all placements by trying each."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import product
from typing import Any

from ledger.planning.work import Piece, Problem, Score

FIGURES = Score._fields[:-1]
"""The figures that are one number; the last of a score has one for each late window."""


def numbers(score: Score) -> tuple[int, ...]:
    """The figures of a score that are one number."""
    return score[:5]


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
    loads = Counter(by_day(problem, problem.taken))
    own = {name: Counter(by_day(problem, of)) for name, of in problem.taken_by.items()}
    for one, day in zip(pieces, days, strict=True):
        loads[day] += one.minutes
        for name, minutes in own_minutes(one).items():
            own.setdefault(name, Counter())[day] += minutes
    return Score(
        sum(pieces[a].opens <= days[b] < days[a] for a, b in problem.after),
        sum(days[a] == days[b] for a, b in problem.apart),
        _beyond(loads, by_day(problem, problem.limits)),
        sum(
            _beyond(own.get(name, {}), by_day(problem, limits))
            for name, limits in problem.personal.items()
        ),
        max((loads[day] for day in by_day(problem, problem.limits)), default=0),
        tuple(days[place] - problem.first for place in late_by_rank(problem)),
    )


def best_by_trying(problem: Problem, within: Sequence[int] = ()) -> Score:
    """The best of all placements whose first figures are no more than `within`; for few only."""
    scores = (score_of(problem, days) for days in product(*(one.days for one in problem.pieces)))
    return min(
        (s for s in scores if all(a <= b for a, b in zip(numbers(s), within, strict=False))),
        key=lambda s: s[len(within) :],
    )


def by_day(problem: Problem, values: Sequence[Any]) -> dict[int, Any]:
    """What is said of each day from the first on, by day."""
    return dict(enumerate(values, problem.first))


def late_by_rank(problem: Problem) -> list[int]:
    """The late windows, the one that gets its day first first."""
    late = [place for place, one in enumerate(problem.pieces) if one.is_late]
    return sorted(late, key=lambda place: problem.pieces[place].rank)


def own_minutes(piece: Piece) -> Counter[str]:
    """The minutes of a window that are surely one person's, by person."""
    minutes = Counter[str]()
    for name, more in piece.own:
        minutes[name] += more
    return minutes


def _beyond(loads: Mapping[int, int], limits: Mapping[int, int | None]) -> int:
    return sum(
        max(0, loads.get(day, 0) - limit) for day, limit in limits.items() if limit is not None
    )

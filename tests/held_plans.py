"""A placement held against the integer program: how far it is from the best, and what it claims."""

from __future__ import annotations

from typing import NamedTuple

from integer_program import NotProven, best, least, least_waits
from plan_figures import FIGURES, broken, numbers, score_of

from ledger.planning.work import Placement, Problem, Score


class Held(NamedTuple):
    """What came of it."""

    gaps: tuple[int, ...]
    """For each figure, how far it is beyond the least within the figures before it; as many as
    could be proven, and none where days or figures are wrong. That of the waits is how much longer
    a late window waits, the first that does."""
    claimed: tuple[int, ...]
    """For each figure but the waits, how far it may be beyond it, by what is claimed."""
    faults: tuple[str, ...]
    """Windows on wrong days, wrong figures and false claims."""
    unproven: str | None
    """The first figure for which HiGHS took too long."""

    @property
    def is_best(self) -> bool:
        """True if it is proven that nothing is better in any figure."""
        return self.unproven is None and not any(self.gaps)


def held(problem: Problem, placement: Placement) -> Held:
    """Hold a placement against the best."""
    score, faults = score_of(problem, placement.days), broken(problem, placement.days)
    if not faults and placement.score != score:
        faults.append(f"the figures are {score}, and {placement.score} are given")
    if faults:
        return Held((), (), tuple(faults), None)
    bounds, waits, unproven = _bounds(problem, score)
    faults += [
        f"{figure}: at least {claim} is claimed, and {bound} is possible"
        for figure, claim, bound in zip(FIGURES, numbers(placement.least), bounds, strict=False)
        if claim > bound
    ]
    gaps = [a - b for a, b in zip(numbers(score), bounds, strict=False)]
    if waits is not None:
        gaps.append(next((a - b for a, b in zip(score.waits, waits, strict=True) if a > b), 0))
    claimed = zip(numbers(score), numbers(placement.least), strict=False)
    return Held(tuple(gaps), tuple(a - b for a, b in claimed), tuple(faults), unproven)


def _bounds(problem: Problem, score: Score) -> tuple[list[int], tuple[int, ...] | None, str | None]:
    """The least of each figure within those before it; the least waits within all of them; and the
    first figure without a proof."""
    bounds: list[int] = []
    known = numbers(score)
    waits: tuple[int, ...] | None = None
    try:
        found = best(problem)
        optimum, waits = numbers(found), found.waits
    except NotProven as stopped:
        optimum = stopped.proven
    try:
        for place, figure in enumerate(FIGURES):
            # So far it is the best, for which the next figure is solved already.
            is_best = optimum[:place] == known[:place]
            if is_best and place == len(optimum):
                return bounds, None, figure
            bounds.append(optimum[place] if is_best else least(problem, known[:place]))
        if waits is None or optimum != known:
            waits = least_waits(problem, known)
    except NotProven as stopped:
        return bounds, None, stopped.figure
    return bounds, waits, None

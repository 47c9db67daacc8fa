"""A placement held against the integer program: how far it is from the best, and what it claims."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple, Protocol

from integer_program import NotProven, best, least
from plan_figures import Problem, Score, broken, score_of


class Placement(Protocol):
    """Days for the windows of a problem, with what is said of them."""

    @property
    def days(self) -> tuple[int, ...]:
        """The day of each window."""

    @property
    def score(self) -> Sequence[int]:
        """What is wrong with them."""

    @property
    def least(self) -> Sequence[int]:
        """What is claimed to be the least of each figure, within those before it."""


Place = Callable[[Problem], Placement]


class Held(NamedTuple):
    """What came of it."""

    gaps: tuple[int, ...]
    """For each figure, how far it is beyond the least within the figures before it; as many as
    could be proven, and none where days or figures are wrong."""
    claimed: tuple[int, ...]
    """For each figure, how far it may be beyond it, by what is claimed."""
    faults: tuple[str, ...]
    """Windows on wrong days, wrong figures and false claims."""
    unproven: str | None
    """The first figure for which HiGHS took too long."""

    @property
    def is_best(self) -> bool:
        """True if it is proven that nothing is better in any figure but the last: late windows get
        their days by rank, not by the sum of their days."""
        return self.unproven in (None, "waits") and not any(
            self.gaps[:-1] if self.unproven is None else self.gaps
        )


def held(problem: Problem, placement: Placement) -> Held:
    """Hold a placement against the best."""
    score, faults = score_of(problem, placement.days), broken(problem, placement.days)
    if not faults and tuple(placement.score) != score:
        faults.append(f"the figures are {score}, and {tuple(placement.score)} are given")
    if faults:
        return Held((), (), tuple(faults), None)
    bounds, unproven = _bounds(problem, score)
    faults += [
        f"{figure}: at least {claim} is claimed, and {bound} is possible"
        for figure, claim, bound in zip(Score._fields, placement.least, bounds, strict=False)
        if claim > bound
    ]
    return Held(
        tuple(a - b for a, b in zip(score, bounds, strict=False)),
        tuple(a - b for a, b in zip(score, placement.least, strict=True)),
        tuple(faults),
        unproven,
    )


def _bounds(problem: Problem, score: Score) -> tuple[list[int], str | None]:
    """The least of each figure within those before it, and the first figure without a proof."""
    bounds: list[int] = []
    try:
        optimum: Sequence[int] = best(problem)
        unproven = None
    except NotProven as stopped:
        optimum, unproven = stopped.proven, stopped.figure
    for place in range(len(score)):
        if tuple(optimum[:place]) == score[:place]:
            # So far it is the best, for which the next figure is solved already.
            if place == len(optimum):
                return bounds, unproven
            bounds.append(optimum[place])
        else:
            try:
                bounds.append(least(problem, score[:place]))
            except NotProven as stopped:
                return bounds, stopped.figure
    return bounds, None

"""Relief: the fewest pieces of a load to move so that it fits its days.

`cuts` is asked with one more move each time; then the height of the fullest day is lowered by
bisection. The answer tells what is not proven because a question took over `NODES` steps.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ledger.planning.cuts import Cuts, GaveUp, Move, Problem
from ledger.planning.fit import height_of, misses, raised, rooms_of

NODES = 1500
"""Steps after which one question to the search is given up."""
TRIES = 3
"""Rounds given up before the search ends; a round with more moves may be easier."""


class Relief(NamedTuple):
    """The moves that were found, and what is proven about them."""

    moves: tuple[Move, ...]
    height_before: int
    height: int
    """The fewest minutes of the fullest day."""
    left: int
    """Minutes that still do not fit."""
    moves_least: int | None
    """No fewer moves can make it fit; None if no moves can."""
    height_least: int
    """No lower height is possible with as many moves."""


def relief(problem: Problem, most: int | None = None, nodes: int = NODES) -> Relief:
    """The fewest moves that make a load fit, and of these the lowest height that was found.

    With `most`, up to that many moves may also lower the height: the lowest height comes first
    then, and of these the fewest moves. If the load cannot fit, the moves that leave the fewest
    minutes undone, found one after the other.
    """
    search = _Search(problem, nodes)
    before = search.height([])
    full = bool(search.undone([]))
    if not full and not most:
        return Relief((), before, before, 0, 0, before)
    allowed = len(problem.pieces) if most is None else most
    chosen, least = search.fewest(None, allowed)
    if chosen is None:
        chosen = search.step_by_step(allowed)
        if search.undone(chosen):
            height = search.height(chosen)
            return Relief(
                search.moves(chosen), before, height, search.undone(chosen), least, height
            )
    budget = len(chosen) if most is None else most
    chosen, height, height_least = search.lowest(chosen, budget)
    if most is not None and len(chosen) > (least or 0):
        chosen = search.fewest(height, len(chosen))[0] or chosen
    return Relief(search.moves(chosen), before, height, 0, least, height_least)


class _Search:
    """The questions that `relief` asks; moves are given by their numbers."""

    def __init__(self, problem: Problem, nodes: int) -> None:
        self.cuts = Cuts(problem, nodes)

    def moves(self, chosen: Sequence[int]) -> tuple[Move, ...]:
        """The moves that were chosen, in order of their pieces."""
        return tuple(sorted(self.cuts.all[number] for number in chosen))

    def undone(self, chosen: Sequence[int]) -> int:
        """Minutes of the household that do not fit, after some moves."""
        return sum(self._undone_by_day(chosen).values())

    def _undone_by_day(self, chosen: Sequence[int]) -> dict[int, int]:
        return dict(misses(self.cuts.loads_after(chosen)[0], rooms_of(self.cuts.limits[0])))

    def height(self, chosen: Sequence[int]) -> int:
        """The fewest minutes of the fullest day, after some moves."""
        load = self.cuts.loads_after(chosen)[0]
        return height_of(load, raised(load, self.cuts.limits[0]))

    def fewest(self, height: int | None, most: int) -> tuple[list[int] | None, int | None]:
        """The fewest moves by which all fits within a height, and how many are needed at least.

        The moves are None if none were found; the number is None if no moves can do it.
        """
        least, given_up = 0, 0
        for level in range(most + 1):
            try:
                chosen = self.cuts.within(height, level)
            except GaveUp:
                given_up += 1
                if given_up == TRIES:
                    break
                continue
            if chosen is not None:
                return chosen, least
            if not self.cuts.is_short:
                return None, None
            if not given_up:
                least = level + 1
        return None, least

    def lowest(self, chosen: list[int], most: int) -> tuple[list[int], int, int]:
        """Moves with the lowest height found for at most `most` of them, from `chosen`, which fit;
        that height; and a proven lower bound on it."""
        height, low, least = self.height(chosen), 0, 0
        while low < height:
            middle = (low + height) // 2
            try:
                better = self.cuts.within(middle, most)
            except GaveUp:
                low = middle + 1
                continue
            if better is None:
                low = least = middle + 1
            else:
                chosen, height = better, self.height(better)
        return chosen, height, least

    def step_by_step(self, most: int) -> list[int]:
        """Moves found one after the other: each leaves the fewest minutes undone, and on no day
        more than before."""
        chosen: list[int] = []
        left = self._undone_by_day(chosen)
        while left and len(chosen) < most:
            self.cuts.learn(chosen, None)
            pieces = {self.cuts.all[number].piece for number in chosen}
            best: tuple[int, int] | None = None
            undone = left
            for number in sorted({number for helping in self.cuts.helping for number in helping}):
                after = self._undone_by_day([*chosen, number])
                rank = sum(after.values()), number
                if (
                    self.cuts.all[number].piece not in pieces
                    and rank < (best or (sum(left.values()), 0))
                    and all(minutes <= left.get(day, 0) for day, minutes in after.items())
                    and not self._people_undone([*chosen, number])
                ):
                    best, undone = rank, after
            if best is None:
                break
            chosen.append(best[1])
            left = undone
        return chosen

    def _people_undone(self, chosen: Sequence[int]) -> bool:
        rows = zip(self.cuts.loads_after(chosen)[1:], self.cuts.limits[1:], strict=True)
        return any(misses(load, rooms_of(limits)) for load, limits in rows)

"""Mend: short searches of all days for a few pieces at a time, where a plan is not good.

This is a depth-first search that turns back where the lowest prices of the pieces still to come
show that no better days are left. A few pieces that share days are searched together while all
others stay (large neighbourhood search, Shaw, "Using constraint programming and local search
methods to solve vehicle routing problems", 1998, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set

from ledger.planning.board import Board
from ledger.planning.moves import move_all

FEW = 8
"""Pieces searched together."""
STEPS = 300
"""Steps of one search; a step puts one piece on a day."""
ALL_STEPS = 2_500
"""Steps of all searches of a plan together."""
NEAR = 8
"""The most days that a search tries for a piece: those with the lowest prices."""


def mend(board: Board, free: Sequence[int], steps: int = ALL_STEPS) -> int:
    """Improve the days around those that are over a limit or over the cap, and around pieces that
    are out of order or not apart, until nothing helps or no steps are left. Returns those left."""
    tried: set[tuple[tuple[int, int | None], ...]] = set()
    movable = set(free)
    improved = True
    while improved and steps > 0:
        improved = False
        for some in _neighbourhoods(board, movable):
            state = tuple((piece, board.day_of[piece]) for piece in some)
            # To find a group takes time too.
            steps -= FEW
            if steps <= 0:
                break
            if state not in tried:
                tried.add(state)
                search = _Search(board, some, min(STEPS, steps))
                improved |= search.run()
                steps -= search.used
        if improved:
            move_all(board, free)
    return steps


def _neighbourhoods(board: Board, movable: Set[int]) -> Iterator[list[int]]:
    """Groups of pieces to search together: around each day that is not good, and around each piece
    that is beside a foe or out of order."""
    for piece, ties in list(board.crossed()):
        group = _around(board, movable, [one for one in (piece, *ties) if one in movable])
        if group:
            yield group
    for day in board.hot_days():
        here = sorted(board.on[day] & movable, key=lambda one: (len(board.days[one]), one))
        if here:
            yield _around(board, movable, here[: FEW - 3])


def _around(board: Board, movable: Set[int], seeds: Sequence[int]) -> list[int]:
    """Some pieces, those tied to them, those on the days to which they may go, and so on."""
    group = dict.fromkeys(seeds[:FEW])
    for piece in seeds:
        for ties in (board.foes, board.before, board.behind):
            group.update(dict.fromkeys(sorted(movable & ties.get(piece, set()))))
    waiting = list(group)
    for piece in waiting:
        sooner = sorted(movable & board.before.get(piece, set()) - group.keys())
        group.update(dict.fromkeys(sooner))
        waiting += sooner
        if len(group) >= FEW:
            break
        home = board.day_of[piece] or 0
        for day in sorted(board.days[piece], key=lambda day: (abs(day - home), day))[:NEAR]:
            fresh = [one for one in sorted(board.on[day] & movable) if one not in group]
            group.update(dict.fromkeys(fresh))
            waiting += fresh
    return list(group)[:FEW]


class _Search:
    """All days for some pieces while the others stay."""

    def __init__(self, board: Board, pieces: Sequence[int], steps: int) -> None:
        self.board, self.steps, self.used = board, steps, 0
        self.pieces = sorted(
            pieces, key=lambda one: (-board.minutes[one], len(board.days[one]), one)
        )
        self.best: dict[int, int] = {}
        for piece in self.pieces:
            day = board.day_of[piece]
            assert day is not None, "only pieces on the board are searched"
            self.best[piece] = day

    def run(self) -> bool:
        """Look for better days; True if there were any."""
        board, before = self.board, dict(self.best)
        for piece in self.pieces:
            board.take(piece)
        self.least = 0
        for piece in self.pieces:
            self.least += board.price(piece, before[piece])
            board.put(piece, before[piece])
        for piece in self.pieces:
            board.take(piece)
        # What stands on the board later can only raise these prices.
        lowest = [
            min(board.price(piece, day) for day in board.days[piece]) for piece in self.pieces
        ]
        self.ahead = [sum(lowest[place + 1 :]) for place in range(len(lowest))]
        self._visit(0, 0)
        for piece in self.pieces:
            board.put(piece, self.best[piece])
        return self.best != before

    def _visit(self, place: int, price: int) -> None:
        board = self.board
        if place == len(self.pieces):
            self.least = price
            self.best = {piece: board.day_of[piece] or 0 for piece in self.pieces}
            return
        ahead, piece = self.ahead[place], self.pieces[place]
        priced = sorted((board.price(piece, day), day) for day in board.days[piece])
        for more, day in priced[:NEAR]:
            if price + more + ahead >= self.least or self.used >= self.steps:
                return
            self.used += 1
            board.put(piece, day)
            self._visit(place + 1, price + more)
            board.take(piece)

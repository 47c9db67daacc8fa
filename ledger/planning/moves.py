"""Moves: pieces on a board go to better days one at a time."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.planning.board import Board


def move_all(board: Board, pieces: Sequence[int]) -> None:
    """Move pieces to better days, one at a time, until no move lowers the price."""
    waiting: Sequence[int] = pieces
    while waiting:
        changed: set[int] = set()
        for piece in waiting:
            before = board.day_of[piece]
            if before is None:
                continue
            board.take(piece)
            price, day = board.price(piece, before), before
            for other in board.days[piece]:
                other_price = board.price(piece, other)
                if other_price < price:
                    price, day = other_price, other
            board.put(piece, day)
            if day != before:
                changed |= {before, day}
        waiting = [piece for piece in pieces if not changed.isdisjoint(board.days[piece])]

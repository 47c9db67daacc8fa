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


def bring_forward(board: Board) -> None:
    """Give late pieces earlier days, in order of rank, by moving one other piece out of the way."""
    for piece in board.late:
        now = board.day_of[piece]
        for day in board.days[piece]:
            if now is None or day >= now:
                break
            if _make_room(board, piece, day):
                break


def _make_room(board: Board, piece: int, day: int) -> bool:
    """Put a piece on a day and one that stands there on another, if that lowers the price."""
    now = board.day_of[piece]
    assert now is not None, "a piece off the board has no day to leave"
    for other in sorted(board.on[day]):
        if len(board.days[other]) < 2:
            continue
        board.take(piece)
        board.take(other)
        before = board.price(other, day)
        board.put(other, day)
        before += board.price(piece, now)
        board.take(other)
        after = board.price(piece, day)
        board.put(piece, day)
        price, elsewhere = min((board.price(other, one), one) for one in board.days[other])
        if price + after < before:
            board.put(other, elsewhere)
            return True
        board.put(other, day)
        board.put(piece, now)
    return False

"""Place: a day for each of some pieces of work, as a careful person would choose them.

To share out minutes that cannot be split is hard in general. Pieces get their days one after
another; moves, swaps and short searches mend what is not good; bounds say how good it can be.
"""

from __future__ import annotations

from collections.abc import Iterable

from ledger.planning.board import Board
from ledger.planning.bounds import Job, days_of, least_heaviest, least_over
from ledger.planning.moves import bring_forward, move_all
from ledger.planning.work import Placement, Problem, Score

SHORT, MIDDLE = 7, 14
"""Days of short windows, and of those of middle length."""
ROUNDS = 12
"""How often the heaviest day is lowered at most."""


def place(problem: Problem) -> Placement:
    """A day for each piece.

    The aims, in the order of `Score`: what comes after something is not done before it, what must
    not meet is on different days, the limits of days and of people, the lightest heaviest day, the
    earliest days for what is late; then even days. The same problem gets the same days every time.

    Raises ValueError for a piece without a day.
    """
    board = Board(problem)
    put_all(board, range(len(problem.pieces)))
    polish(board)
    return Placement(board.ordinals(), board.score(), least_of(board))


def put_all(board: Board, pieces: Iterable[int]) -> None:
    """Put pieces on the board: those with one day, those with a short window, those late by rank,
    then those with a long window.

    Of windows in time, the longest work comes first: without limits, and with every day open to
    all, the heaviest day is then at most 4/3 - 1/(3m) times what it must be on m days (Graham,
    "Bounds on multiprocessing timing anomalies", SIAM Journal on Applied Mathematics 17, 1969,
    reported).
    """
    free: list[int] = []
    some = set(pieces)
    board.cap = _lightest(board)
    for piece in some:
        days = board.days[piece]
        if len(days) == 1:
            board.put(piece, days[0])
        elif not board.pieces[piece].is_late:
            free.append(piece)
    free.sort(key=lambda piece: _turn(board, piece))
    short = [piece for piece in free if len(board.days[piece]) <= SHORT]
    late = [piece for piece in board.late if piece in some and len(board.days[piece]) > 1]
    for piece in (*short, *late, *free[len(short) :]):
        board.put(piece, best_day(board, piece))


def _turn(board: Board, piece: int) -> tuple[int, int, int, int, str]:
    days = board.days[piece]
    kind = (len(days) > SHORT) + (len(days) > MIDDLE)
    return kind, -board.minutes[piece], days[-1], days[0], board.pieces[piece].label


def best_day(board: Board, piece: int) -> int:
    """The day with the lowest price for a piece that is off the board; of equal ones the first."""
    return min(board.days[piece], key=lambda day: board.price(piece, day))


def polish(board: Board, only_if_needed: bool = False) -> None:
    """Improve the days of a board: by moves, by short searches where a bound leaves room, and by
    lowering the heaviest day while that is possible.

    Where it is done `only_if_needed`, a board that no bound finds wanting stays as it is, but for
    what is late.
    """
    if only_if_needed and board.score()[:4] <= least_of(board)[:4]:
        bring_forward(board)
        move_all(board, board.late)
        return
    free = [piece for piece, choice in enumerate(board.days) if len(choice) > 1]
    move_all(board, free)
    if board.score()[:5] > least_of(board)[:5]:
        # Most homes need none of it on most days.
        from ledger.planning.mend import mend

        steps = mend(board, free)
        for _ in range(ROUNDS):
            score = board.score()
            if score.heaviest <= least_of(board).heaviest:
                break
            board.cap = score.heaviest - 1
            steps = mend(board, free, steps)
            if board.score() >= score or steps <= 0:
                break
    board.cap = max(board.loads, default=0)
    bring_forward(board)
    move_all(board, free)


def _jobs(board: Board) -> list[Job]:
    return [
        (days[0], days[-1], minutes)
        for days, minutes in zip(board.all_days, board.minutes, strict=True)
    ]


def _lightest(board: Board) -> int:
    """A lower bound on the heaviest day with as few minutes over the limits as can be."""
    jobs, days = days_of(_jobs(board), board.limits, board.taken)
    return least_heaviest(
        jobs, days, least_over(jobs, days), sum(board.minutes) + max(board.taken, default=0)
    )


def least_of(board: Board) -> Score:
    """A bound for each place of the score of a board: no choice of days is better in one place if
    it is as good as the board in all places before."""
    score = board.score()
    jobs, days = days_of(_jobs(board), board.limits, board.taken)
    return Score(
        sum(
            board.opens[earlier] <= board.all_days[later][0]
            and board.all_days[later][-1] < board.all_days[earlier][0]
            for earlier, followers in board.behind.items()
            for later in followers
        ),
        sum(
            len(board.all_days[one]) == 1 and board.all_days[one] == board.all_days[other]
            for one, foes in board.foes.items()
            for other in foes
        )
        // 2,
        least_over(jobs, days),
        sum(
            least_over(*days_of(_jobs_of(board, name), limits, board.taken_by[name]))
            for name, (_, limits) in board.people.items()
        ),
        least_heaviest(jobs, days, score.over, score.heaviest),
        (),
    )


def _jobs_of(board: Board, name: str) -> list[Job]:
    """What is surely a person's."""
    return [
        (days[0], days[-1], minutes)
        for piece, days in zip(board.pieces, board.all_days, strict=True)
        for person, minutes in piece.own
        if person == name
    ]

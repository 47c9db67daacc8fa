"""The placing: its board, its moves and its searches keep their laws; its bounds are never above
what is possible."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from random import Random

import networkx as nx
import pytest
from counted_work import STEEPEST, growth
from hypothesis import given, settings
from hypothesis import strategies as st
from integer_program import best
from plan_figures import FIGURES, best_by_trying, broken, numbers, score_of
from problems import START, in_a_row, large_problem, problems

from ledger.planning.board import Board
from ledger.planning.bounds import Days, days_of, least_heaviest, least_over, left_over
from ledger.planning.mend import mend
from ledger.planning.moves import bring_forward, move_all
from ledger.planning.order import in_order
from ledger.planning.place import best_day, least_of, place, polish, put_all
from ledger.planning.work import Piece, Problem, Score


def settled(problem: Problem, chance: Random) -> Board:
    """A board with each piece on one of its days."""
    board = Board(problem)
    for piece, days in enumerate(board.all_days):
        board.put(piece, chance.choice(days))
    return board


def whole_price(problem: Problem, days: list[int], order: list[int]) -> int:
    """The price of the pieces put on an empty board one after another."""
    board, total = Board(problem), 0
    for piece in order:
        total += board.price(piece, days[piece])
        board.put(piece, days[piece])
    return total


def squares(problem: Problem, days: list[int]) -> int:
    """Of pieces on days, how much more the sum of the squares is than without them."""
    loads = list(problem.taken) or [0] * len(problem.limits)
    before = sum(load * load for load in loads)
    for piece, day in zip(problem.pieces, days, strict=True):
        loads[day] += piece.minutes
    return sum(load * load for load in loads) - before


# ------------------------------------------------------------------------------------- the board


@given(problems(), st.randoms(use_true_random=False))
def test_a_board_counts_what_a_plain_count_counts(problem: Problem, chance: Random) -> None:
    board = settled(problem, chance)
    for piece in chance.sample(range(len(problem.pieces)), len(problem.pieces) // 2):
        board.put(piece, chance.choice(board.all_days[piece]))
    assert board.score() == score_of(problem, board.ordinals())


@given(problems(), st.randoms(use_true_random=False))
def test_prices_add_up_to_one_price_whatever_the_order(problem: Problem, chance: Random) -> None:
    numbers = list(range(len(problem.pieces)))
    days = [chance.choice(piece.days) - START for piece in problem.pieces]
    others = [chance.choice(piece.days) - START for piece in problem.pieces]
    total = whole_price(problem, days, numbers)
    assert whole_price(problem, days, chance.sample(numbers, len(numbers))) == total
    one, other = (
        (score_of(problem, [START + day for day in some]), squares(problem, some))
        for some in (days, others)
    )
    # The heaviest day is not in a price; only the minutes above the cap are.
    key, its_key = ((*score[:4], score.waits, more) for score, more in (one, other))
    assert (total < whole_price(problem, others, numbers)) == (key < its_key)


@given(problems(), st.integers(0, 60), st.randoms(use_true_random=False))
def test_minutes_over_the_cap_have_a_price_between_those_of_people_and_the_waits(
    problem: Problem, cap: int, chance: Random
) -> None:
    board = settled(problem, chance)
    for piece, day in enumerate(board.day_of):
        assert day is not None
        board.take(piece)
        plain = board.price(piece, day)
        board.cap = cap
        more = board.price(piece, day) - plain
        load = board.loads[day]
        over = max(0, load + board.minutes[piece] - cap) - max(0, load - cap)
        assert more == over << board._peak
        board.cap = 1 << 40
        board.put(piece, day)


@given(problems(), st.randoms(use_true_random=False))
def test_pieces_off_the_board_count_nowhere(problem: Problem, chance: Random) -> None:
    board = settled(problem, chance)
    for piece in range(len(problem.pieces)):
        board.take(piece)
        board.take(piece)
        assert not board.is_over(piece)
    assert board.ordinals() == ()
    assert list(board.crossed()) == []
    nothing = problem._replace(pieces=[], apart=[], after=[])
    assert board.score() == score_of(nothing, [])


@given(problems(), st.randoms(use_true_random=False))
def test_what_is_not_good_is_found(problem: Problem, chance: Random) -> None:
    board = settled(problem, chance)
    score = board.score()
    crossed = {frozenset((one, tie)) for one, ties in board.crossed() for tie in ties}
    assert bool(crossed) == (score[:2] != (0, 0))
    assert bool(board.hot_days()) == (score[2:4] != (0, 0))
    for piece, day in enumerate(board.day_of):
        assert not board.is_over(piece) or day in board.hot_days()


# -------------------------------------------------------------------------------------- the order


@given(problems())
def test_days_in_order_are_some_of_the_days_and_never_none(problem: Problem) -> None:
    board = Board(problem)
    for some, days in zip(board.days, board.all_days, strict=True):
        assert some
        assert {*some} <= {*days}


@settings(max_examples=200)
@given(problems(4))
def test_days_taken_away_by_the_order_are_those_of_no_best_plan(problem: Problem) -> None:
    """Of what comes after something, nothing is lost that would keep more pairs in order."""
    board = Board(problem)
    left = [
        piece._replace(days=tuple(START + day for day in days))
        for piece, days in zip(problem.pieces, board.days, strict=True)
    ]
    if best_by_trying(problem).out_of_order == 0:
        assert best_by_trying(problem._replace(pieces=left)) == best_by_trying(problem)


def test_days_are_lost_along_a_chain_and_kept_where_none_would_be_left() -> None:
    week = range(7)
    assert in_order([week, week, (2, 3)], [0, 0, 2], [(0, 1), (1, 2)]) == [
        [0, 1, 2, 3], [0, 1, 2, 3], (2, 3)
    ]  # fmt: skip
    assert in_order([(4, 5), week], [0, 0], [(0, 1)]) == [(4, 5), [4, 5, 6]]
    assert in_order([(4, 5), (1, 2)], [0, 1], [(0, 1)]) == [(4, 5), (1, 2)]
    # What opens later than the other may be done is not its business.
    assert in_order([week, (2, 3)], [5, 2], [(0, 1)]) == [week, (2, 3)]


# ------------------------------------------------------------------------- the moves, the searches


@given(problems(), st.integers(0, 60), st.randoms(use_true_random=False))
def test_moves_and_searches_make_no_board_worse(problem: Problem, cap: int, chance: Random) -> None:
    def price(board: Board) -> int:
        bare = Board(problem)
        bare.cap, total = cap, 0
        for piece, day in enumerate(board.day_of):
            assert day is not None
            total += bare.price(piece, day)
            bare.put(piece, day)
        return total

    numbers = range(len(problem.pieces))
    for improve in (
        lambda board: move_all(board, numbers),
        lambda board: mend(board, numbers),
        bring_forward,
    ):
        board = settled(problem, chance)
        board.cap = cap
        before = price(board)
        improve(board)
        assert price(board) <= before
        assert broken(problem, board.ordinals()) == []


@given(problems())
def test_no_piece_moved_alone_is_better(problem: Problem) -> None:
    board = Board(problem)
    put_all(board, range(len(problem.pieces)))
    polish(board)
    for piece, day in enumerate(board.day_of):
        assert day is not None
        board.take(piece)
        assert board.price(piece, day) == board.price(piece, best_day(board, piece))
        board.put(piece, day)


def test_only_pieces_on_the_board_move() -> None:
    board = Board(Problem([Piece((0, 1), 0, 5), Piece((0, 1), 0, 5)], 0, [None, None]))
    board.put(0, 0)
    move_all(board, [0, 1])
    assert board.day_of == [0, None]


# -------------------------------------------------------------------------------------- the whole


@given(problems())
def test_every_piece_has_one_of_its_days_and_the_score_is_that_of_its_days(
    problem: Problem,
) -> None:
    found = place(problem)
    assert broken(problem, found.days) == []
    assert found.score == score_of(problem, found.days)
    assert found == place(problem)


@given(problems(4))
def test_few_pieces_have_the_best_days_and_no_bound_is_above_them(problem: Problem) -> None:
    found = place(problem)
    choices = product(*(one.days for one in problem.pieces))
    scores = [numbers(score_of(problem, days)) for days in choices]
    for figure in range(len(FIGURES)):
        before = numbers(found.score)[:figure]
        within = [s for s in scores if all(a <= b for a, b in zip(s, before, strict=False))]
        assert numbers(found.least)[figure] <= min(score[figure] for score in within)
    assert numbers(found.score) == min(scores)


@given(problems(), st.randoms(use_true_random=False))
def test_the_days_do_not_hang_on_the_order_of_pieces_that_differ(
    problem: Problem, chance: Random
) -> None:
    """Pieces that differ in their minutes get the same days in whatever order they are given; ties
    name pieces by their place, and are left out here."""
    pieces = [
        piece._replace(minutes=40 * number + piece.minutes, rank=(number,), label=f"{number}")
        for number, piece in enumerate(problem.pieces, 1)
    ]
    problem = problem._replace(pieces=pieces, apart=[], after=[])
    order = chance.sample(range(len(pieces)), len(pieces))
    other = problem._replace(pieces=[pieces[number] for number in order])
    assert place(other).score == place(problem).score


@pytest.mark.parametrize("seed", range(30))
def test_bounds_of_many_pieces_hold_against_the_integer_program(seed: int) -> None:
    chance = Random(seed)
    problem = large_problem(
        chance.randint(12, 24), 1.5, chance.choice((None, 45, 90)), chance.choice((0, 0.4))
    )
    found, optimum = place(problem), best(problem)
    assert found.score >= optimum
    assert found.score[:2] == optimum[:2]
    if found.score[:4] == optimum[:4]:
        assert found.least.heaviest <= optimum.heaviest


def test_a_piece_without_a_day_is_refused() -> None:
    with pytest.raises(ValueError, match="lamp has no day"):
        place(Problem([Piece((), 0, 5, label="lamp")], 0, [None]))


def test_nothing_to_place_weighs_what_stands_already() -> None:
    assert place(Problem([], 1, [10, None], taken=[15, 5])).score == Score(0, 0, 5, 0, 15, ())
    assert place(Problem([], 1, [])).score == Score(0, 0, 0, 0, 0, ())


@pytest.mark.parametrize(
    ("minutes", "days", "longest_first", "best_of_all"),
    [((30, 30, 20, 20, 20), 2, 70, 60), ((50, 50, 40, 40, 30, 30, 30), 3, 110, 90)],
)
def test_longest_first_meets_its_published_worst_case_and_the_answer_the_best(
    minutes: tuple[int, ...], days: int, longest_first: int, best_of_all: int
) -> None:
    """Graham, "Bounds on multiprocessing timing anomalies", SIAM Journal on Applied Mathematics
    17, 1969 (reported)."""
    problem = Problem([Piece((*range(days),), 0, one) for one in minutes], 0, [None] * days)
    board = Board(problem)
    for piece in range(len(minutes)):
        board.put(piece, best_day(board, piece))
    assert max(board.loads) == longest_first
    assert place(problem).score.heaviest == place(problem).least.heaviest == best_of_all


@settings(max_examples=50)
@given(st.lists(st.integers(1, 60), min_size=1, max_size=7), st.integers(1, 3))
def test_longest_first_keeps_its_published_bound_where_every_day_is_open(
    minutes: list[int], days: int
) -> None:
    """Graham 1969, as above: no more than 4/3 - 1/(3m) times the best."""
    problem = Problem([Piece((*range(days),), 0, one) for one in minutes], 0, [None] * days)
    board = Board(problem)
    for piece in sorted(range(len(minutes)), key=lambda piece: -minutes[piece]):
        board.put(piece, best_day(board, piece))
    heaviest = best_by_trying(problem).heaviest
    assert max(board.loads) <= (Fraction(4, 3) - Fraction(1, 3 * days)) * heaviest


# -------------------------------------------------------------------------------------- the bounds

jobs = st.lists(
    st.tuples(st.integers(0, 5), st.integers(0, 5), st.integers(0, 40)).map(
        lambda job: (min(job[:2]), max(job[:2]), job[2])
    ),
    max_size=5,
)
minutes_of_days = st.lists(st.integers(0, 40), min_size=6, max_size=6)


@given(jobs, minutes_of_days)
def test_minutes_left_over_are_those_of_no_splitting(
    some: list[tuple[int, int, int]], room: list[int]
) -> None:
    """Against networkx, `maximum_flow_value`; after Glover, "Maximum matching in a convex
    bipartite graph", Naval Research Logistics Quarterly 14, 1967 (reported)."""
    graph: nx.DiGraph[object] = nx.DiGraph()
    graph.add_nodes_from(["start", "end"])
    for number, (first, last, minutes) in enumerate(some):
        graph.add_edge("start", ("job", number), capacity=minutes)
        for day in range(first, last + 1):
            graph.add_edge(("job", number), day, capacity=minutes)
            graph.add_edge(day, "end", capacity=room[day])
    split = nx.maximum_flow_value(graph, "start", "end")
    over = left_over(sorted(some, key=lambda job: job[1]), list(room))
    assert over == sum(minutes for _, _, minutes in some) - split


@given(jobs.map(lambda some: some[:4]), minutes_of_days, minutes_of_days)
def test_bounds_are_not_above_the_best_of_all_days(
    some: list[tuple[int, int, int]], limits: list[int], taken: list[int]
) -> None:
    found = []
    for chosen in product(*(range(first, last + 1) for first, last, _ in some)):
        loads = list(taken)
        for day, (_, _, minutes) in zip(chosen, some, strict=True):
            loads[day] += minutes
        over = sum(max(0, load - limit) for load, limit in zip(loads, limits, strict=True))
        found.append((over, max(loads)))
    free, days = days_of(some, limits, taken)
    over, heaviest = min(found)
    assert least_over(free, days) <= over
    assert least_heaviest(free, days, over, heaviest) <= heaviest
    assert least_heaviest(free, days, over + 5, 1000) <= min(
        load for minutes, load in found if minutes <= over + 5
    )


def test_a_job_too_long_for_every_day_is_over_by_what_the_roomiest_lacks() -> None:
    assert least_over([(0, 2, 50)], Days([0, 0, 10], [20, 30, 45])) == 15
    assert left_over([(0, 2, 50)], [20, 30, 35]) == 0


def test_bounds_of_a_board_count_ties_that_no_days_can_keep() -> None:
    single = [Piece((3,), 0, 5), Piece((3,), 0, 5), Piece((1,), 0, 5, (("ana", 5),))]
    limits = [None] * 4
    problem = Problem(
        single, 0, limits, {"ana": [0] * 4}, [(0, 1), (1, 2)], [(0, 2), (2, 0)], [], {}
    )
    board = Board(problem)
    put_all(board, range(3))
    assert board.score() == least_of(board)._replace(waits=()) == Score(1, 1, 0, 5, 10, ())
    polish(board, only_if_needed=True)
    assert board.ordinals() == (3, 3, 1)


# -------------------------------------------------------------------------------------- the growth


@pytest.mark.parametrize(
    ("limit", "ties"), [(None, 0.0), (90, 0.0), (30, 0.0), (None, 0.5), (90, 0.5)]
)
def test_work_grows_as_the_pieces_do(limit: int | None, ties: float) -> None:
    one = large_problem(25, 2.0, limit, ties)
    assert growth(place, lambda count: in_a_row(one, count), 2) <= STEEPEST

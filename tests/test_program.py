"""The integer program that plans are held against: it finds what trying all days finds."""

from __future__ import annotations

from math import prod
from random import Random

import integer_program
import pytest
from books import house
from held_plans import held
from integer_program import NotProven, best, best_placement, least, least_waits
from plan_figures import FIGURES, best_by_trying, numbers, score_of
from planned_constraints import to_plan
from random_planned_homes import random_planned_home

from ledger.planning.work import Piece, Placement, Problem, Score

START = 100


def tiny_problem(random: Random) -> Problem:
    """A few windows with all that a problem may hold."""
    count = random.randint(2, 6)
    span = range(START, START + count)
    pieces: list[Piece] = []
    unit = random.choice((1, 5))
    for _ in range(random.choice((3, 4, 4))):
        days = tuple(sorted(random.sample(span, random.randint(1, count))))
        minutes = random.randint(0, 8) * unit
        own = random.choice(((), (("ana", minutes),), (("ana", minutes // 2), ("ben", minutes))))
        opens = days[0] - random.randint(0, 2)
        pieces.append(Piece(days, opens, minutes, own, "x", random.random() < 0.4))

    def limits() -> list[int | None]:
        return [random.choice((None, *(n * unit for n in range(12)))) for _ in span]

    def taken() -> list[int]:
        return [random.randint(1, 8) * unit if random.random() < 0.3 else 0 for _ in span]

    def pairs(share: float) -> list[tuple[int, int]]:
        count = len(pieces)
        return [(a, b) for a in range(count) for b in range(count) if random.random() < share]

    people = ("ana", "ben")
    return Problem(
        pieces, START, limits(), {name: limits() for name in people},
        [(a, b) for a, b in pairs(0.3) if a <= b], [(a, b) for a, b in pairs(0.2) if a != b],
        taken(), {name: taken() for name in people},
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(40))
def test_the_program_finds_what_trying_all_days_finds(seed: int) -> None:
    problem = tiny_problem(Random(seed))
    assert best(problem) == best_by_trying(problem)


@pytest.mark.parametrize("seed", range(12))
def test_each_figure_has_its_least_within_any_figures_before_it(seed: int) -> None:
    random = Random(seed)
    problem = tiny_problem(random)
    days = [random.choice(one.days) for one in problem.pieces]
    score = score_of(problem, days)
    for place, figure in enumerate(FIGURES):
        within = numbers(score)[:place]
        assert least(problem, within) == numbers(best_by_trying(problem, within))[place], figure
    within = numbers(score)
    assert least_waits(problem, within) == best_by_trying(problem, within).waits


def test_figures_of_a_placement_are_those_counted_by_hand() -> None:
    problem = Problem(
        [
            Piece((1, 2, 3), 1, 30, (("ana", 30),), "vacuum"),
            Piece((1, 2), 1, 20, (("ana", 10), ("ben", 10)), "mop"),
            Piece((2, 3), -4, 15, (), "oven", True),
            Piece((2, 3), 3, 5, (), "lamp"),
        ],
        1, [20, 45, None], {"ana": [5, 30, None], "ben": [None, None, 0]},
        apart=[(0, 2), (1, 2)], after=[(0, 1), (3, 1)], taken=[10, 7, 0],
        taken_by={"ana": [4, 0, 0]},
    )  # fmt: skip
    # The mop on the 1st is before the vacuuming that stands open; the lamp opens on the 3rd only.
    # The 1st holds 10 + 20 of 20 minutes, the 2nd 7 + 30 + 15 of 45; Ana 4 + 10 of 5, and 30 of 30.
    assert score_of(problem, (2, 1, 2, 3)) == Score(1, 1, 10 + 7, 9, 52, (1,))
    assert score_of(problem, (1, 2, 3, 3)) == Score(0, 0, 20, 29, 40, (2,))


def test_what_is_late_need_not_wait_for_days_lighter_than_the_heaviest_of_others() -> None:
    late = [Piece((5, 6), 1, 30, is_late=True, rank=(n,)) for n in (2, 1)]
    assert best(Problem(late, 5, [None] * 5)) == Score(0, 0, 0, 0, 30, (0, 1))
    more = [*late, Piece((8, 9), 8, 60)]
    assert best(Problem(more, 5, [None] * 5)) == Score(0, 0, 0, 0, 60, (0, 0))


@pytest.mark.parametrize("seed", range(20))
def test_the_program_finds_the_best_of_a_few_days_of_a_home(seed: int) -> None:
    home = random_planned_home(seed)
    household = house(*home.lines).on(home.first)
    problem = to_plan(household, home.first, home.first + 13).problem
    days = 14
    while prod(len(one.days) for one in problem.pieces) > 1000:
        days -= 1
        problem = to_plan(household, home.first, home.first + days - 1).problem
    score, placed = best_placement(problem)
    assert score == best_by_trying(problem) == score_of(problem, placed)


def test_what_takes_too_long_is_told_with_the_figures_before_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(integer_program, "SECONDS", 0.0)
    days = tuple(range(30))
    pieces = [Piece(days, 0, 3 + n % 7, label=f"{n}") for n in range(20)]
    with pytest.raises(NotProven, match="heaviest") as told:
        best(Problem(pieces, 0, [None] * 30))
    assert told.value.proven == (0, 0, 0, 0)


@pytest.mark.parametrize("seed", range(10))
def test_a_placement_is_held_to_its_days_its_figures_and_its_claims(seed: int) -> None:
    random, known = Random(seed), len(FIGURES)
    problem = tiny_problem(random)
    optimum, days = best_placement(problem)
    found = held(problem, Placement(days, optimum, optimum))
    assert found.is_best
    assert found == ((0,) * (known + 1), (0,) * known, (), None)
    days = tuple(random.choice(one.days) for one in problem.pieces)
    score = score_of(problem, days)
    now = numbers(score)
    figures = [numbers(best_by_trying(problem, now[:n]))[n] for n in range(known)]
    waits = best_by_trying(problem, now).waits
    bounds = Score._make([*figures, ()])
    found = held(problem, Placement(days, score, bounds))
    assert found.gaps[:known] == found.claimed
    assert found.claimed == tuple(a - b for a, b in zip(now, figures, strict=True))
    assert (found.gaps[known] > 0) == (score.waits > waits)
    assert found.faults == ()
    assert found.is_best == (score == optimum)
    for figure, bound in zip(FIGURES, figures, strict=True):
        more = Score(**{**bounds._asdict(), figure: bound + 1})
        (fault,) = held(problem, Placement(days, score, more)).faults
        assert fault == f"{figure}: at least {bound + 1} is claimed, and {bound} is possible"
    wrong = held(problem, Placement((0, *days[1:]), score, bounds)).faults
    assert "x: 0 is not among" in wrong[0]
    others = score._replace(heaviest=999)
    assert "are given" in held(problem, Placement(days, others, bounds)).faults[0]

"""The integer program that plans are held against: it finds what trying all days finds."""

from __future__ import annotations

from random import Random

import pytest
from integer_program import Piece, Problem, Score, best, best_by_trying, broken, least, score_of

START = 100


def tiny_problem(random: Random) -> Problem:
    """A few windows with all that a problem may hold."""
    count = random.randint(2, 6)
    span = range(START, START + count)
    pieces: list[Piece] = []
    unit = random.choice((1, 5))
    while len(pieces) < random.choice((3, 4, 5)):
        days = tuple(sorted(random.sample(span, random.randint(1, count))))
        minutes = random.randint(0, 8) * unit
        own = random.choice(((), (("ana", minutes),), (("ana", minutes // 2), ("ben", minutes))))
        opens = days[0] - random.randint(0, 2)
        pieces.append(Piece(days, opens, minutes, own, "x", random.random() < 0.3))

    def limits() -> dict[int, int | None]:
        return {day: random.choice((None, *(n * unit for n in range(12)))) for day in span}

    def taken() -> dict[int, int]:
        return {day: random.randint(1, 8) * unit for day in span if random.random() < 0.3}

    def pairs(share: float) -> list[tuple[int, int]]:
        count = len(pieces)
        return [(a, b) for a in range(count) for b in range(count) if random.random() < share]

    people = ("ana", "ben")
    return Problem(
        pieces, START, span[-1], limits(), {name: limits() for name in people},
        [(a, b) for a, b in pairs(0.3) if a <= b], [(a, b) for a, b in pairs(0.2) if a != b],
        taken(), {name: taken() for name in people},
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(120))
def test_the_program_finds_what_trying_all_days_finds(seed: int) -> None:
    problem = tiny_problem(Random(seed))
    assert best(problem) == best_by_trying(problem)


@pytest.mark.parametrize("seed", range(40))
def test_each_figure_has_its_least_within_any_figures_before_it(seed: int) -> None:
    random = Random(seed)
    problem = tiny_problem(random)
    days = [random.choice(one.days) for one in problem.pieces]
    score = score_of(problem, days)
    for place, figure in enumerate(Score._fields):
        within = score[:place]
        assert least(problem, within) == best_by_trying(problem, within)[place], figure

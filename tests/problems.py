"""Problems for the placing: what hypothesis draws, and larger ones made at random."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from hypothesis import strategies as st

from ledger.planning.work import Piece, Problem

START = 100
PEOPLE = ("ana", "ben")


@st.composite
def problems(draw: st.DrawFn, most: int = 7) -> Problem:
    """A few pieces with all that a problem may hold."""
    count = draw(st.integers(1, 7))
    span = range(START, START + count)
    pieces = [_piece(draw, span) for _ in range(draw(st.integers(0, most)))]
    limits = st.lists(st.none() | st.integers(0, 40), min_size=count, max_size=count)
    taken: st.SearchStrategy[list[int]] = st.lists(
        st.integers(0, 30), min_size=count, max_size=count
    ) | st.just([])
    people = draw(st.sets(st.sampled_from(PEOPLE)))
    pairs: st.SearchStrategy[list[tuple[int, int]]] = st.just([])
    if len(pieces) > 1:
        one = st.integers(0, len(pieces) - 1)
        pairs = st.lists(st.tuples(one, one).filter(lambda pair: pair[0] != pair[1]), max_size=4)
    return Problem(
        pieces,
        START,
        draw(limits),
        {name: draw(limits) for name in sorted(people)},
        draw(pairs.map(_each_once)),
        draw(pairs.map(lambda some: sorted(set(some)))),
        draw(taken),
        {name: draw(taken) for name in sorted(people)},
    )


def _each_once(pairs: list[tuple[int, int]]) -> list[tuple[int, int]]:
    return sorted({(min(pair), max(pair)) for pair in pairs})


def _piece(draw: st.DrawFn, span: range) -> Piece:
    days = draw(st.sets(st.sampled_from(span), min_size=1))
    minutes, is_late = draw(st.integers(0, 40)), draw(st.booleans())
    own = tuple((name, minutes) for name in sorted(draw(st.sets(st.sampled_from(PEOPLE)))))
    opens = min(days) - draw(st.integers(0, 3))
    rank = (draw(st.integers(0, 2)),) if is_late else ()
    return Piece(tuple(sorted(days)), opens, minutes, own, "x", is_late, rank)


def large_problem(
    count: int, per_day: float = 2.0, limit: int | None = 90, ties: float = 0.0
) -> Problem:
    """A problem of so many pieces, on as many days as it has room for: windows of a week, two or
    four, some of them late, each tied to some of the pieces near it."""
    random = Random(count)
    days = max(7, round(count / per_day))
    pieces = []
    for number in range(count):
        length = min(days, random.choice((1, 7, 7, 14, 28)))
        first = random.randrange(days - length + 1)
        is_late = first < 7 and random.random() < 0.3
        rank = (number,) if is_late else ()
        window = tuple(range(first, first + length))
        minutes = random.randint(1, 12) * 5
        pieces.append(Piece(window, first, minutes, (), f"{number}", is_late, rank))
    pieces.sort(key=lambda piece: piece.opens)
    near = [
        (number, number + random.randint(1, 5)) for number in range(count) if random.random() < ties
    ]
    pairs = [pair for pair in near if pair[1] < count]
    return Problem(pieces, 0, [limit] * days, {}, pairs[::2], pairs[1::2])


def in_a_row(problem: Problem, times: int) -> Problem:
    """A problem so many times, each on days of its own."""
    count, days = len(problem.pieces), len(problem.limits)

    def shifted(pairs: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
        return [(a + n * count, b + n * count) for n in range(times) for a, b in pairs]

    pieces = [
        one._replace(days=tuple(day + n * days for day in one.days), opens=one.opens + n * days)
        for n in range(times)
        for one in problem.pieces
    ]
    return problem._replace(
        pieces=pieces,
        limits=[*problem.limits] * times,
        apart=shifted(problem.apart),
        after=shifted(problem.after),
    )

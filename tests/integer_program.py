"""The best days for windows by an integer program (HiGHS).

It knows of the placing only what a `Problem` and a `Score` are. The program has a 0 or 1 for each
window and day. It is solved once for each figure, and for each late window in order of rank, with
all before held at their least.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from math import gcd
from typing import NamedTuple

import numpy as np
from plan_figures import FIGURES, by_day, late_by_rank, numbers, own_minutes, score_of
from scipy.optimize import (  # type: ignore[import-untyped]
    Bounds,
    LinearConstraint,
    milp,
)
from scipy.sparse import csr_array  # type: ignore[import-untyped]

from ledger.planning.work import Problem, Score

SECONDS = 60.0
"""The longest that one figure of one part may take."""

IN_MINUTES = {"over", "over_people", "heaviest"}
HEAVIEST = FIGURES.index("heaviest")


class NotProven(Exception):
    """HiGHS reached its limit of time."""

    def __init__(self, figure: str, proven: tuple[int, ...]) -> None:
        super().__init__(f"no proof for '{figure}' after {SECONDS:.0f} seconds")
        self.figure = figure
        self.proven = proven
        """The least of the figures before it."""


# ------------------------------------------------------------------------------ the program


class Sum(NamedTuple):
    """A number of each of some columns, and a number besides."""

    of: dict[int, int]
    besides: int = 0


class Program:
    """The integer program of some windows of a problem. All others that have one of their days have
    a single day."""

    def __init__(self, problem: Problem, free: Iterable[int], floor: int) -> None:
        self.problem, self.free = problem, sorted(free)
        self.upper: list[float] = []
        self.rows: list[tuple[dict[int, int], float]] = []
        """Sums of columns, each with the most that it may be."""
        self.column = {
            (place, day): self._new(1) for place in self.free for day in problem.pieces[place].days
        }
        self.exactly_one = [
            {self.column[place, day]: 1 for day in problem.pieces[place].days}
            for place in self.free
        ]
        self.days = sorted({day for _, day in self.column})
        self.floor = floor
        """What the heaviest day holds at least."""
        self.late = [place for place in late_by_rank(problem) if place in self.free]
        loads = {day: self._load(day) for day in self.days}
        limits = by_day(problem, problem.limits)
        personal = {name: by_day(problem, of) for name, of in problem.personal.items()}
        self.figures = [
            self._pairs(self._out_of_order(*pair) for pair in problem.after),
            self._pairs(self._together(*pair) for pair in problem.apart),
            self._excess((loads[day], limits[day]) for day in self.days),
            self._excess(
                (self._load(day, name), limits[day])
                for name, limits in personal.items()
                for day in self.days
            ),
            self._heaviest(loads.values()),
            *map(self._wait, self.late),
        ]

    def _new(self, most: float = np.inf) -> int:
        self.upper.append(most)
        return len(self.upper) - 1

    def _on(self, place: int, day: int) -> Sum:
        """1 if a window is on a day, else 0."""
        if (place, day) in self.column:
            return Sum({self.column[place, day]: 1})
        return Sum({}, int(self.problem.pieces[place].days == (day,)))

    def _load(self, day: int, name: str | None = None) -> Sum:
        """The minutes of a day, or those that are surely one person's."""
        taken = self.problem.taken if name is None else self.problem.taken_by.get(name, ())
        minutes, besides = dict[int, int](), by_day(self.problem, taken).get(day, 0)
        for place, piece in enumerate(self.problem.pieces):
            if day in piece.days:
                more = piece.minutes if name is None else own_minutes(piece)[name]
                columns, fixed = self._on(place, day)
                besides += more * fixed
                minutes |= {column: more for column in columns if more}
        return Sum(minutes, besides)

    def _at_most(self, sums: Sequence[Sum], most: int, less: int) -> None:
        """The sums together are no more than `most` and the column `less`."""
        of = Counter[int]()
        for one in sums:
            of.update(one.of)
        self.rows.append(({**of, less: -1}, most - sum(one.besides for one in sums)))

    def _pairs(self, pairs: Iterable[Sequence[Sequence[Sum]]]) -> Sum:
        """How many pairs break a rule. For each pair: the sums of which no two may be 1."""
        broken = Sum({})
        for cases in pairs:
            if any(one.of for case in cases for one in case):
                column = self._new(1)
                broken.of[column] = 1
                for case in cases:
                    self._at_most(case, 1, column)
        return broken

    def _together(self, one: int, other: int) -> Sequence[Sequence[Sum]]:
        days = {*self.problem.pieces[one].days} & {*self.problem.pieces[other].days}
        return [[self._on(one, day), self._on(other, day)] for day in sorted(days)]

    def _out_of_order(self, earlier: int, later: int) -> Sequence[Sequence[Sum]]:
        first, second = self.problem.pieces[earlier], self.problem.pieces[later]
        cases = []
        for day in second.days:
            then = [self._on(earlier, one) for one in first.days if one > day]
            if first.opens <= day and then:
                cases.append([self._on(later, day), *then])
        return cases

    def _excess(self, loads: Iterable[tuple[Sum, int | None]]) -> Sum:
        """The minutes beyond the limits."""
        excess = Sum({})
        for load, limit in loads:
            if limit is not None and (load.of or load.besides > limit):
                column = self._new()
                excess.of[column] = 1
                self._at_most([load], limit, column)
        return excess

    def _heaviest(self, loads: Iterable[Sum]) -> Sum:
        column = self._new()
        self.rows.append(({column: -1}, -self.floor))
        for load in loads:
            self._at_most([load], 0, column)
        return Sum({column: 1})

    def _wait(self, place: int) -> Sum:
        days = self.problem.pieces[place].days
        return Sum({self.column[place, day]: day - self.problem.first for day in days})

    def least(self, place: int, within: Sequence[int]) -> tuple[int, dict[int, int]] | None:
        """The least of a figure, if those before it are no more than `within`, and the days with
        which it is reached; None if HiGHS found no proof in its time."""
        if not self.figures[place].of:
            return 0, {}
        rows = [*self.rows, *((self.figures[n].of, most) for n, most in enumerate(within))]
        cost = np.zeros(len(self.upper))
        for column, weight in self.figures[place].of.items():
            cost[column] = weight
        found = milp(
            cost,
            constraints=[
                LinearConstraint(self._matrix(self.exactly_one), 1, 1),
                LinearConstraint(
                    self._matrix([of for of, _ in rows]), -np.inf, [most for _, most in rows]
                ),
            ],
            integrality=np.ones(len(self.upper)),
            bounds=Bounds(0, self.upper),
            options={"time_limit": SECONDS, "mip_rel_gap": 0},
        )
        if not found.success:
            assert found.status == 1, found.message
            return None
        days = {place: day for (place, day), column in self.column.items() if found.x[column] > 0.5}
        return round(found.fun), days

    def _matrix(self, rows: Sequence[dict[int, int]]) -> csr_array:
        data = [value for row in rows for value in row.values()]
        columns = [column for row in rows for column in row]
        starts = np.cumsum([0, *map(len, rows)])
        return csr_array((data, columns, starts), shape=(len(rows), len(self.upper)))


# ------------------------------------------------------------------------------ the best


def best(problem: Problem) -> Score:
    """The least of each figure, with those before it at their least. Raises `NotProven` where HiGHS
    takes too long."""
    return best_placement(problem)[0]


def best_placement(problem: Problem) -> tuple[Score, tuple[int, ...]]:
    """The best figures, and days that have them.

    Windows that share no day, nor a rule, with the others are a part that is solved alone: the
    figures of the parts are added, and the heaviest day is that of one of them.

    Raises `NotProven` where HiGHS takes too long.
    """
    unit = _unit(problem)
    problem = _in_units(problem, unit)
    parts = _parts(problem)
    rest = _rest(problem, {place for part in parts for place in part})
    programs = [Program(problem, part, rest.heaviest) for part in parts]
    known: list[list[int]] = [[] for _ in parts]
    days = {place: one.days[0] for place, one in enumerate(problem.pieces)}
    proven: list[int] = []
    for place, figure in enumerate(FIGURES):
        for program, within in zip(programs, known, strict=True):
            found = program.least(place, within)
            if found is None:
                raise NotProven(figure, _in_minutes(proven, unit))
            within.append(found[0])
            days.update(found[1])
            if place == HEAVIEST:
                # A part gains nothing from days that are lighter than another part's heaviest.
                rest = rest._replace(heaviest=max(rest.heaviest, found[0]))
        if place == HEAVIEST:
            known = [[*within[:place], rest.heaviest] for within in known]
            proven.append(rest.heaviest)
        else:
            proven.append(numbers(rest)[place] + sum(within[place] for within in known))
    for program, within in zip(programs, known, strict=True):
        days.update(_early(program, within, _in_minutes(proven, unit)))
    placed = tuple(days[place] for place in range(len(problem.pieces)))
    reached = score_of(problem, placed)
    assert reached[: len(FIGURES)] == (*proven,), (
        "HiGHS calls something the best that its own days do not reach"
    )
    pairs, met, over, over_people, heaviest = _in_minutes(proven, unit)
    return Score(pairs, met, over, over_people, heaviest, reached.waits), placed


def _early(program: Program, within: Sequence[int], proven: tuple[int, ...]) -> dict[int, int]:
    """Days with the earliest for what is late, in order of rank, if no figure is more than in
    `within`."""
    known, days = [*within], dict[int, int]()
    for place in range(len(FIGURES), len(program.figures)):
        found = program.least(place, known)
        if found is None:
            raise NotProven("waits", proven)
        known.append(found[0])
        days = found[1]
    return days


def least_waits(problem: Problem, within: Sequence[int]) -> tuple[int, ...]:
    """The least waits of what is late, in order of rank, if no figure is more than in `within`.

    Raises `NotProven` where HiGHS takes too long.
    """
    program, caps, _ = _within(problem, within)
    days = _early(program, caps, ())
    return tuple(
        days.get(place, problem.pieces[place].days[0]) - problem.first
        for place in late_by_rank(problem)
    )


def least(problem: Problem, within: Sequence[int]) -> int:
    """The least of the figure that follows on some, if none of those is more than in `within`.

    Raises `NotProven` where HiGHS takes too long.
    """
    program, caps, rest = _within(problem, within)
    place, figure = len(within), FIGURES[len(within)]
    found = program.least(place, caps)
    if found is None:
        raise NotProven(figure, ())
    value = found[0] if place == HEAVIEST else numbers(rest)[place] + found[0]
    return value * (_unit(problem) if figure in IN_MINUTES else 1)


def _within(problem: Problem, within: Sequence[int]) -> tuple[Program, list[int], Score]:
    """The program of a whole problem, what `within` leaves to it of each figure, and the rest."""
    unit = _unit(problem)
    problem = _in_units(problem, unit)
    free = {place for part in _parts(problem) for place in part}
    rest = _rest(problem, free)
    caps = [
        most // (unit if figure in IN_MINUTES else 1) - (0 if figure == "heaviest" else fixed)
        for most, figure, fixed in zip(within, FIGURES, numbers(rest), strict=False)
    ]
    return Program(problem, free, rest.heaviest), caps, rest


def _parts(problem: Problem) -> list[set[int]]:
    """The windows with a choice of days, in parts that have nothing to do with each other."""
    parts: list[tuple[set[int], set[object]]] = []
    for place, piece in enumerate(problem.pieces):
        if len(piece.days) > 1:
            ties: set[object] = {*piece.days}
            pairs = (*problem.after, *problem.apart)
            ties |= {("pair", *sorted(pair)) for pair in pairs if place in pair}
            near = [part for part in parts if part[1] & ties]
            parts = [part for part in parts if not part[1] & ties]
            places = {place}.union(*(part[0] for part in near))
            parts.append((places, ties.union(*(part[1] for part in near))))
    return [places for places, _ in parts]


def _rest(problem: Problem, free: set[int]) -> Score:
    """The figures of the windows with a single day, on days that no other can have."""
    fixed = [place for place in range(len(problem.pieces)) if place not in free]
    number = {place: n for n, place in enumerate(fixed)}
    days = {day for place in free for day in problem.pieces[place].days}

    def among(pairs: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
        return [(number[a], number[b]) for a, b in pairs if a in number and b in number]

    def outside(limits: Sequence[int | None]) -> list[int | None]:
        by = by_day(problem, limits)
        return [None if day in days else limit for day, limit in by.items()]

    pieces = [problem.pieces[place] for place in fixed]
    alone = problem._replace(
        pieces=pieces,
        limits=outside(problem.limits),
        personal={name: outside(limits) for name, limits in problem.personal.items()},
        after=among(problem.after),
        apart=among(problem.apart),
    )
    return score_of(alone, [one.days[0] for one in pieces])


def _unit(problem: Problem) -> int:
    """The most minutes of which all minutes of a problem are a multiple."""
    by_days = [problem.limits, problem.taken]
    by_days += [*problem.personal.values(), *problem.taken_by.values()]
    known = [minutes for some in by_days for minutes in some if minutes is not None]
    known += [one.minutes for one in problem.pieces]
    known += [minutes for one in problem.pieces for _, minutes in one.own]
    return gcd(*known) or 1


def _in_units(problem: Problem, unit: int) -> Problem:
    """A problem in units of minutes: the fewer values a figure may have, the sooner the program
    ends."""

    def cut(limits: Sequence[int | None]) -> list[int | None]:
        return [None if some is None else some // unit for some in limits]

    def cut_all(taken: Sequence[int]) -> list[int]:
        return [minutes // unit for minutes in taken]

    pieces = [
        one._replace(
            minutes=one.minutes // unit,
            own=tuple((name, minutes // unit) for name, minutes in one.own),
        )
        for one in problem.pieces
    ]
    return problem._replace(
        pieces=pieces,
        limits=cut(problem.limits),
        personal={name: cut(limits) for name, limits in problem.personal.items()},
        taken=cut_all(problem.taken),
        taken_by={name: cut_all(some) for name, some in problem.taken_by.items()},
    )


def _in_minutes(figures: Sequence[int], unit: int) -> tuple[int, ...]:
    named = zip(figures, FIGURES, strict=False)
    return tuple(value * (unit if figure in IN_MINUTES else 1) for value, figure in named)

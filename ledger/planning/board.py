"""Board: the days of a plan, what stands on them, and the price of a day for a piece."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ledger.planning.bounds import minutes_over
from ledger.planning.order import in_order
from ledger.planning.work import Piece, Problem, Score

NO_LIMIT = 1 << 40
"""More minutes than any day has."""
FIELD = 48
"""Bits of one part of a price."""


class Board:
    """Days counted from 0, each with its minutes, and the pieces that stand on them.

    A piece may be off the board; it then counts nowhere. A price is one whole number whose parts
    are those of a score, in their order: prices compare as scores do, and those of pieces that are
    put on the board one after another add up to the price of them all. Behind the parts of the
    score stands how uneven the days become.

    Raises ValueError for a piece without a day.
    """

    def __init__(self, problem: Problem) -> None:
        self.pieces, self.start = _with_days(problem.pieces), problem.first
        self.limits = bounded(problem.limits)
        self.cap = NO_LIMIT
        """A day with more minutes than this has a higher price."""
        count = len(self.limits)
        self.taken = list(problem.taken) or [0] * count
        """Minutes on each day that belong to no piece."""
        self.loads = list(self.taken)
        self.on: list[set[int]] = [set() for _ in self.limits]
        """The pieces on each day."""
        self.day_of: list[int | None] = [None] * len(self.pieces)
        self.all_days = [[day - problem.first for day in piece.days] for piece in self.pieces]
        """The days that each piece may have."""
        self.minutes = [piece.minutes for piece in self.pieces]
        self.taken_by = {
            name: list(problem.taken_by.get(name, ())) or [0] * count for name in problem.personal
        }
        self.people = {
            name: (list(self.taken_by[name]), bounded(of)) for name, of in problem.personal.items()
        }
        """The minutes of each person with a limit on each day, and the limits."""
        self._own = [
            [(*self.people[name], own) for name, own in piece.own if name in self.people]
            for piece in self.pieces
        ]
        """For each piece the people with a limit who surely do it: their loads, their limits, and
        its minutes."""
        self.foes = _ties((*problem.apart, *((two, one) for one, two in problem.apart)))
        """For each piece those that must not be on its day."""
        self.before = _ties((later, earlier) for earlier, later in problem.after)
        """For each piece those that it comes after."""
        self.behind = _ties(problem.after)
        """For each piece those that come after it."""
        self.tied = self.foes.keys() | self.before.keys() | self.behind.keys()
        self.opens = [piece.opens - problem.first for piece in self.pieces]
        self.days = in_order(self.all_days, self.opens, problem.after)
        """Those of them that leave a choice to the pieces before and behind it."""
        late = [number for number, piece in enumerate(self.pieces) if piece.is_late]
        self.late = sorted(late, key=lambda number: self.pieces[number].rank)
        """The late pieces in order of rank."""
        digit = count.bit_length()
        places = enumerate(reversed(self.late))
        self._waits = {number: FIELD + digit * place for place, number in places}
        self._peak = FIELD + digit * len(self.late)

    def put(self, piece: int, day: int) -> None:
        """Put a piece on a day, and take it off the day it was on."""
        self.take(piece)
        self.day_of[piece] = day
        self.on[day].add(piece)
        self.loads[day] += self.minutes[piece]
        for loads, _, own in self._own[piece]:
            loads[day] += own

    def take(self, piece: int) -> None:
        """Take a piece off the board."""
        day = self.day_of[piece]
        if day is not None:
            self.day_of[piece] = None
            self.on[day].remove(piece)
            self.loads[day] -= self.minutes[piece]
            for loads, _, own in self._own[piece]:
                loads[day] -= own

    def price(self, piece: int, day: int) -> int:
        """What a piece that is off the board adds to the price of the board on a day."""
        minutes, load = self.minutes[piece], self.loads[day]
        total = load + minutes
        # Half of this is the growth of the sum of the squares of the days.
        price = minutes * (load + total)
        if piece in self._waits:
            price += day << self._waits[piece]
        peak = self._peak
        if total > self.cap:
            price += min(total - self.cap, minutes) << peak
        for loads, limits, own in self._own[piece]:
            over = loads[day] + own - limits[day]
            if over > 0:
                price += min(over, own) << peak + FIELD
        limit = self.limits[day]
        if total > limit:
            price += min(total - limit, minutes) << peak + 2 * FIELD
        if piece in self.tied:
            ties = self._met(piece, day) + (self._out_of_order(piece, day) << FIELD)
            price += ties << peak + 3 * FIELD
        return price

    def is_over(self, piece: int) -> bool:
        """True if the day of a piece, or that of one of its people, is over its limit."""
        day = self.day_of[piece]
        if day is None:
            return False
        if self.loads[day] > self.limits[day]:
            return True
        return any(loads[day] > limits[day] for loads, limits, _ in self._own[piece])

    def ordinals(self) -> tuple[int, ...]:
        """The day of each piece, as an ordinal; those off the board are left out."""
        return tuple(self.start + day for day in self.day_of if day is not None)

    def hot_days(self) -> list[int]:
        """The days over a limit or over the cap, those with least room first."""
        hot = {day for day, load in enumerate(self.loads) if load > min(self.limits[day], self.cap)}
        for loads, limits in self.people.values():
            hot.update(day for day, load in enumerate(loads) if load > limits[day])
        return sorted(hot, key=lambda day: (self.limits[day] - self.loads[day], day))

    def crossed(self) -> Iterator[tuple[int, list[int]]]:
        """The pieces beside a foe or out of order, each with the pieces that are in its way."""
        for piece in sorted(self.tied):
            day = self.day_of[piece]
            if day is None:
                continue
            ties = sorted(self.foes.get(piece, set()) & self.on[day])
            ties += [
                one
                for one in sorted(self.before.get(piece, ()))
                if (its_day := self.day_of[one]) is not None and self.opens[one] <= day < its_day
            ]
            if ties:
                yield piece, ties

    def _out_of_order(self, piece: int, day: int) -> int:
        count, opens, day_of = 0, self.opens, self.day_of
        for earlier in self.before.get(piece, ()):
            its_day = day_of[earlier]
            count += its_day is not None and opens[earlier] <= day < its_day
        for later in self.behind.get(piece, ()):
            its_day = day_of[later]
            count += its_day is not None and opens[piece] <= its_day < day
        return count

    def _met(self, piece: int, day: int) -> int:
        foes = self.foes.get(piece)
        return len(foes & self.on[day]) if foes else 0

    def score(self) -> Score:
        """How good the days are on which the pieces stand."""
        placed = [(piece, day) for piece, day in enumerate(self.day_of) if day is not None]
        tied = [(piece, day) for piece, day in placed if piece in self.tied]
        people = (minutes_over(loads, limits) for loads, limits in self.people.values())
        return Score(
            sum(self._out_of_order(*one) for one in tied) // 2,
            sum(self._met(*one) for one in tied) // 2,
            minutes_over(self.loads, self.limits),
            sum(people),
            max(self.loads, default=0),
            tuple(day for piece in self.late if (day := self.day_of[piece]) is not None),
        )


def _with_days(pieces: Sequence[Piece]) -> Sequence[Piece]:
    """The pieces, of which each must have a day."""
    for piece in pieces:
        if not piece.days:
            raise ValueError(f"{piece.label} has no day")
    return pieces


def _ties(pairs: Iterable[tuple[int, int]]) -> dict[int, set[int]]:
    """The partners of the first of each pair."""
    ties: dict[int, set[int]] = {}
    for one, other in pairs:
        if one != other:
            ties.setdefault(one, set()).add(other)
    return ties


def bounded(limits: Sequence[int | None]) -> list[int]:
    """Limits as whole numbers, of which one is more than any day has where there is no limit."""
    return [NO_LIMIT if limit is None else limit for limit in limits]

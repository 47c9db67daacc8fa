"""Cuts: at most so many moves by which a load fits its days, if there are any.

Every span that does not fit is a cut: some piece with windows inside it has to move. The search
branches over the pieces of one cut at a time, and asks the pass of `fit` for new cuts only
when all known ones are met (logic-based Benders decomposition, Hooker and Ottosson 2003, from
memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ledger.household.model import Span
from ledger.planning.fit import Ask, Load, misses, raised, rooms_of, worst_span

Option = Sequence[Ask]


class Problem(NamedTuple):
    """A load, its days, and what of it may be moved."""

    limits: Sequence[Sequence[int | None]]
    """Minutes that fit in each day, by layer; a day without a limit holds anything."""
    fixed: Sequence[Ask]
    pieces: Sequence[Sequence[Option]]
    """The options of each piece: as it stands, then each place it may move to."""
    spans: Sequence[Span] = ()
    """Spans worth a look as a whole: weeks, months."""


class Move(NamedTuple):
    """A piece and its new option, both by index."""

    piece: int
    option: int


def load_of(problem: Problem, moves: Sequence[Move] = (), layer: int = 0) -> Load:
    """What a problem asks of the days of the household, or of another layer, after some moves."""
    load, where = Load(len(problem.limits[0])), dict(moves)
    options = [pieces[where.get(n, 0)] for n, pieces in enumerate(problem.pieces)]
    for ask in (*problem.fixed, *(ask for option in options for ask in option)):
        if ask.layer == layer:
            load.add(ask)
    return load


class GaveUp(Exception):
    """The search took too many steps."""


class _Cut(NamedTuple):
    """A span of one layer, and the minutes inside it before any move."""

    layer: int
    first: int
    last: int
    minutes: int


class Cuts:
    """The cuts of a problem known so far, and what each move changes inside each cut.

    Moves are given by their index in `all`. A search for them is given up after `nodes` steps.
    """

    def __init__(self, problem: Problem, nodes: int) -> None:
        self.problem, self.nodes = problem, nodes
        self.all = [
            Move(piece, option)
            for piece, options in enumerate(problem.pieces)
            for option in range(1, len(options))
        ]
        self.loads = [Load(len(limits)) for limits in problem.limits]
        for ask in (*problem.fixed, *(ask for options in problem.pieces for ask in options[0])):
            self.loads[ask.layer].add(ask)
        # People are asked for no more than their limit, or than now if that is more.
        self.limits = [
            raised(load, limits) if layer else list(limits)
            for layer, (load, limits) in enumerate(zip(self.loads, problem.limits, strict=True))
        ]
        self.cuts: dict[_Cut, None] = {}
        self.helping: list[list[int]] = []
        self.changes: list[list[int]] = [[] for _ in self.all]
        self.wide = [
            _Cut(0, first, last, self.loads[0].inside(first, last)) for first, last in problem.spans
        ]
        self.steps = 0
        self.is_short = False
        self.taken: set[int] = set()
        self.barred: set[int] = set()

    def _options(self, number: int) -> tuple[Option, Option]:
        """The windows of a move's piece as they stand, and as the move has them."""
        piece, option = self.all[number]
        options = self.problem.pieces[piece]
        return options[0], options[option]

    def loads_after(self, chosen: Sequence[int]) -> list[Load]:
        """The loads of all layers after some moves."""
        loads = [load.copy() for load in self.loads]
        for number in chosen:
            old, new = self._options(number)
            for ask in old:
                loads[ask.layer].add(ask, -1)
            for ask in new:
                loads[ask.layer].add(ask)
        return loads

    def within(self, height: int | None, most: int) -> list[int] | None:
        """At most `most` moves by which all fits within a height, or None if there are none.

        `is_short` then says whether more moves might do. Raises GaveUp after `nodes` steps.
        """
        self.steps = 0
        self._add_worst([cut for cut in self.wide if self._excess(cut, height) > 0], height)
        while True:
            self.is_short = False
            self.taken.clear()
            self.barred.clear()
            chosen: list[int] = []
            if not self._descend([self._excess(cut, height) for cut in self.cuts], most, chosen):
                return None
            if not self.learn(chosen, height):
                return chosen

    def _excess(self, cut: _Cut, height: int | None) -> int:
        limits = self.limits[cut.layer][cut.first : cut.last + 1]
        return cut.minutes - sum(rooms_of(limits, None if cut.layer else height))

    def _descend(self, excess: list[int], most: int, chosen: list[int]) -> bool:
        """True if at most `most` more moves meet all cuts; they are added to `chosen`."""
        self.steps += 1
        if self.steps > self.nodes:
            raise GaveUp
        over = [number for number, minutes in enumerate(excess) if minutes > 0]
        if not over:
            return True
        options = self._branches(over, excess, most)
        if not options:
            return False
        changes, barred_here = self.changes, []
        tried = []
        for number in options:
            after = list(map(int.__add__, excess, changes[number]))
            still_over = sum(minutes for minutes in after if minutes > 0)
            # Of moves that help as much, the earlier options of every piece come first.
            tried.append((still_over, self.all[number].option, number, after))
        tried.sort()
        for _, _, number, after in tried:
            piece = self.all[number].piece
            self.taken.add(piece)
            chosen.append(number)
            if self._descend(after, most - 1, chosen):
                return True
            chosen.pop()
            self.taken.discard(piece)
            # Everything with this move was tried: the moves after it do without it.
            self.barred.add(number)
            barred_here.append(number)
        self.barred.difference_update(barred_here)
        return False

    def _branches(self, over: Sequence[int], excess: list[int], most: int) -> list[int]:
        """The moves of which one is needed: those that help the cut that the fewest moves help.

        Empty if the cuts need more moves than are left, or than can help.
        """
        needs, best = [], list[int]()
        for cut in over:
            gains: dict[int, int] = {}
            options = []
            for number in self.helping[cut]:
                piece = self.all[number].piece
                if piece not in self.taken and number not in self.barred:
                    options.append(number)
                    gains[piece] = max(gains.get(piece, 0), -self.changes[number][cut])
            need = _how_many(gains, excess[cut])
            if need is None:
                return []
            needs.append((need, gains.keys()))
            if not best or len(options) < len(best):
                best = options
        needs.sort(key=lambda need: -need[0])
        together, seen = 0, set[int]()
        for need, pieces in needs:
            # Two cuts that share no helping piece need different moves.
            if seen.isdisjoint(pieces):
                together += need
                seen |= pieces
        if together > most:
            self.is_short = True
            return []
        return best

    # ------------------------------------------------------------------ cuts

    def learn(self, chosen: Sequence[int], height: int | None) -> bool:
        """Learn the spans that do not fit after some moves; False where all fits."""
        new_cuts = []
        for layer, load in enumerate(self.loads_after(chosen)):
            rooms = rooms_of(self.limits[layer], None if layer else height)
            worst: dict[int, int] = {}
            undone: dict[int, int] = {}
            for day, minutes in misses(load, rooms):
                # Weeks are much alike: the worst day of each weekday is enough.
                if minutes > undone.get(day % 7, 0):
                    worst[day % 7], undone[day % 7] = day, minutes
            for day in worst.values():
                first, last = worst_span(load, rooms, day)
                minutes = self.loads[layer].inside(first, last)
                new_cuts.append(_Cut(layer, first, last, minutes))
        for cut in new_cuts:
            self._add(cut)
        return bool(new_cuts)

    def _add_worst(self, cuts: Sequence[_Cut], height: int | None) -> None:
        """Of cuts of equal length, learn the one with most excess."""
        worst: dict[int, _Cut] = {}
        for cut in sorted(cuts, key=lambda cut: self._excess(cut, height)):
            worst[cut.last - cut.first] = cut
        for cut in worst.values():
            self._add(cut)

    def _add(self, cut: _Cut) -> None:
        if cut in self.cuts:
            return
        self.cuts[cut] = None
        helping = []
        for number, changes in enumerate(self.changes):
            old, new = (
                sum(ask.inside(*cut[1:3]) for ask in option if ask.layer == cut.layer)
                for option in self._options(number)
            )
            changes.append(new - old)
            if new < old:
                helping.append(number)
        self.helping.append(helping)


def _how_many(gains: dict[int, int], excess: int) -> int | None:
    """The fewest pieces that must move, greatest gains first; None if all are not enough."""
    for count, gain in enumerate(sorted(gains.values(), reverse=True), 1):
        excess -= gain
        if excess <= 0:
            return count
    return None

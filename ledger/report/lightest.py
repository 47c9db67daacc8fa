"""Lightest: of the sections that a line may go to, the one with the least on its days."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ledger.calendar.week import MAX_DAY
from ledger.household.model import Household, Routine
from ledger.planning.choices import Choice, Choices, choices
from ledger.planning.cuts import Move, load_of
from ledger.planning.fit import Ask, Load
from ledger.report.lighten import YEAR_AHEAD, header_of, relocation_of
from ledger.text.relocate import Relocation


class Lightest(NamedTuple):
    """Where a line of the routine would find least on its days."""

    header: str
    """The section, as its header says it."""
    minutes: float
    """On an average day of its windows there, the chore's own included."""
    minutes_now: float
    """On an average day of its windows as it stands."""
    relocation: Relocation


def alternatives(household: Household, on: int) -> Choices:
    """The load of the 366 days from a day on, and what of it may be moved."""
    return choices(household, range(on, min(on + YEAR_AHEAD, MAX_DAY + 1)))


def lightest(household: Household, routine: Routine, ways: Choices) -> Lightest | None:
    """The section to which a line moves for the lightest days; None where it stands there, or
    where it may not move. `ways` are those of `ways_of`."""
    for number, options in enumerate(ways.options):
        here = [
            (index, choice) for index, choice in enumerate(options, 1) if choice.routine is routine
        ]
        if here:
            return _best(household, ways, number, here)
    return None


def _best(
    household: Household, ways: Choices, number: int, here: Sequence[tuple[int, Choice]]
) -> Lightest | None:
    problem = ways.problem
    now = _a_day(load_of(problem), problem.pieces[number][0])
    best: tuple[float, Choice] | None = None
    for index, choice in here:
        there = _a_day(load_of(problem, [Move(number, index)]), problem.pieces[number][index])
        if there < (now if best is None else best[0]):
            best = there, choice
    if best is None:
        return None
    minutes, choice = best
    return Lightest(header_of(choice.section), minutes, now, relocation_of(household, choice))


def _a_day(load: Load, asks: Sequence[Ask]) -> float:
    """Minutes on an average day of some windows, of all that closes inside them."""
    loads = [
        load.inside(first, last) / (last - first + 1)
        for ask in asks
        if not ask.layer
        for first, last in zip(ask.firsts, ask.lasts, strict=True)
    ]
    return sum(loads) / len(loads) if loads else 0.0

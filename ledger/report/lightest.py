"""Lightest: of the sections that a line may move to, the one with the fewest minutes a day."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ledger.calendar.week import year_on
from ledger.household.model import Household, Routine
from ledger.planning.choices import Choice, Choices, choices
from ledger.planning.cuts import Move, load_of
from ledger.planning.fit import Ask, Load
from ledger.report.lighten import header_of, relocation_of
from ledger.text.relocate import Relocation


class Lightest(NamedTuple):
    """The section that would give a line of the routine the fewest minutes a day."""

    header: str
    """The section, as its header says it."""
    minutes: float
    """Minutes on an average day of its windows there, the chore's own included."""
    minutes_now: float
    """Minutes on an average day of its windows where it is now."""
    relocation: Relocation


def alternatives(household: Household, on: int) -> Choices:
    """The load of the year from a day on, and what of it may be moved."""
    return choices(household, range(on, year_on(on) + 1))


def lightest(household: Household, routine: Routine, movable: Choices) -> Lightest | None:
    """The section that gives a line the lightest days; None where it is there already, or may not
    move. `movable` is the answer of `alternatives`."""
    for number, options in enumerate(movable.options):
        own_options = [
            (index, choice) for index, choice in enumerate(options, 1) if choice.routine is routine
        ]
        if own_options:
            return _best(household, movable, number, own_options)
    return None


def _best(
    household: Household, movable: Choices, number: int, own_options: Sequence[tuple[int, Choice]]
) -> Lightest | None:
    problem = movable.problem
    now = _average_day(load_of(problem), problem.pieces[number][0])
    best: tuple[float, Choice] | None = None
    for index, choice in own_options:
        minutes_there = _average_day(
            load_of(problem, [Move(number, index)]), problem.pieces[number][index]
        )
        if minutes_there < (now if best is None else best[0]):
            best = minutes_there, choice
    if best is None:
        return None
    minutes, choice = best
    return Lightest(header_of(choice.section), minutes, now, relocation_of(household, choice))


def _average_day(load: Load, asks: Sequence[Ask]) -> float:
    """Minutes on an average day of some windows, of all the load that is inside each of them."""
    loads = [
        load.inside(first, last) / (last - first + 1)
        for ask in asks
        if not ask.layer
        for first, last in zip(ask.firsts, ask.lasts, strict=True)
    ]
    return sum(loads) / len(loads) if loads else 0.0

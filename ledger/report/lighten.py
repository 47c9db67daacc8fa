"""Lighten: which chore lines to put under other sections, so that the year ahead fits its
limits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Annotated, NamedTuple

from ledger.calendar.week import MAX_DAY, week_first, weekday
from ledger.household.model import Household, LimitOf, Section, Span
from ledger.planning.choices import Choice, choices, rhythm_alone
from ledger.planning.cuts import load_of
from ledger.planning.fit import Load, misses, rooms_of
from ledger.planning.load import Demand, overloads
from ledger.planning.relief import relief
from ledger.text.cadences import write_cadence
from ledger.text.fields import (
    ChoreName,
    ChoreTitle,
    Count,
    FileName,
    HouseholdTitle,
    LineNumber,
    NonEmpty,
    OneOf,
    Positive,
)
from ledger.text.relocate import Destination, Relocation
from ledger.text.values import DAYS
from ledger.text.writer import quoted

YEAR_AHEAD = 366
"""How many days are looked at, from the day asked about: as many as the rule `overloaded-day`."""
Limits = Sequence[int | None]


class Full(NamedTuple):
    """A span of days with more minutes than it holds. It stands for all spans of its length that
    begin on the same weekday, and is the worst of them."""

    first: date
    """First day of the span."""
    last: date
    """Last day of the span."""
    minutes: Count
    """Minutes that must be done within it."""
    limit: Count
    """Minutes that it holds."""
    times: Positive
    """How many spans like it are too full, this one counted."""


class Moved(NamedTuple):
    """A chore line, and the section it would stand under."""

    chore: ChoreName
    title: ChoreTitle
    minutes: Positive
    """Its minutes, as the book says."""
    from_section: NonEmpty
    """Header of the section it stands under now."""
    to_section: NonEmpty
    """Header of the section it would stand under."""
    opens_section: bool
    """True where the book has no such section yet."""
    file: FileName
    line: LineNumber


class Fullest(NamedTuple):
    """The fullest of all days, weekends or weeks of a kind."""

    kind: Annotated[str, OneOf(*DAYS, "weekend", "week")]
    """A day of the week, `weekend` or `week`."""
    before: Count
    """Minutes that must be done within the fullest one now."""
    after: Count
    """Minutes that must be done within the fullest one after the moves."""
    limit: Count | None
    """Minutes that such a day, weekend or week holds when everybody is at home; None for no
    limit."""


class Lighten(NamedTuple):
    """The fewest moves of chore lines that make the days ahead fit their limits, what these moves
    achieve, and what is proven about them."""

    household: HouseholdTitle
    first: date
    """First day looked at."""
    last: date
    """Last day looked at."""
    has_limits: bool
    """True where the book limits the minutes of any day or person."""
    moves_most: Count | None
    """How many moves may be made, as the call says; None for only as many as make everything
    fit."""
    too_full: tuple[Full, ...]
    """The shortest spans that do not fit now; of spans alike, one."""
    moves: tuple[Moved, ...]
    """The moves proposed."""
    fullest: tuple[Fullest, ...]
    """The days of the week in the household's order, then weekends and weeks as a whole."""
    heaviest_before: Count
    """The fewest minutes that the heaviest day can have now: the work of longer windows is split as
    evenly as possible."""
    heaviest_after: Count
    """The same after the moves."""
    minutes_left: Count
    """Minutes of all days together that still fit nowhere after the moves."""
    left: tuple[Full, ...]
    """The shortest spans that do not fit after the moves; of spans alike, one."""
    moves_least: Count | None
    """No fewer moves than this make everything fit; None where no number of moves does."""
    heaviest_least: Count
    """With as many moves, the heaviest day cannot have fewer minutes than this."""
    proven: bool
    """True where the answer is proven: no fewer moves make everything fit, and with as many the
    heaviest day cannot be lighter; or no moves make everything fit. Where the call says how many
    moves may be made: with as many the heaviest day cannot be lighter."""
    diff: str = ""
    """The change to the files as a unified diff, which `git apply` takes; empty where nothing
    moves. Each byte that is not UTF-8 is a lone surrogate, U+DC80 for 0x80 and so on."""


class Proposal(NamedTuple):
    """An answer, and how to write it into the book."""

    answer: Lighten
    relocations: tuple[Relocation, ...]


def lighten(household: Household, on: int, most: int | None = None) -> Proposal:
    """The fewest moves that take all overload out of the 366 days from a day on.

    Of several such sets of moves, the one with the lightest heaviest day. With `most`, up to
    that many moves may be made, also where nothing is too full. A move puts one line of a chore
    under another section of the same rhythm.
    """
    days = range(on, min(on + YEAR_AHEAD, MAX_DAY + 1))
    movable = choices(household, days)
    problem = movable.problem
    result = relief(problem, most)
    chosen = [movable.options[move.piece][move.option - 1] for move in result.moves]
    before, after = load_of(problem), load_of(problem, result.moves)
    limits = problem.limits[0]
    fits = result.left == 0
    proven = result.moves_least == len(chosen) and result.height_least == result.height
    if most is not None:
        proven = fits and result.height_least == result.height
    answer = Lighten(
        household=household.title,
        first=date.fromordinal(days[0]),
        last=date.fromordinal(days[-1]),
        has_limits=bool(household.limits),
        moves_most=most,
        too_full=tuple(_full(before, limits, on)),
        moves=tuple(_moved(household, choice) for choice in chosen),
        fullest=tuple(_fullest(household, before, after, on)),
        heaviest_before=result.height_before,
        heaviest_after=result.height,
        minutes_left=result.left,
        left=tuple(_full(after, limits, on)),
        moves_least=result.moves_least,
        heaviest_least=result.height_least,
        proven=proven if fits else result.moves_least is None,
    )
    return Proposal(answer, tuple(relocation_of(household, choice) for choice in chosen))


def _full(load: Load, limits: Limits, start: int) -> Iterator[Full]:
    """The spans that do not fit; of spans alike, the worst, with how many there are."""
    if not misses(load, rooms_of(limits)):
        return
    singles = ((day, day, minutes) for day, minutes in enumerate(load.single) if minutes)
    wide = ((first, last, minutes) for (first, last), minutes in load.wide.items() if minutes)
    demands = [
        Demand(first + start, last + start, minutes, "")
        for first, last, minutes in (*singles, *wide)
    ]
    kinds: dict[Span, list[Full]] = {}
    for overload in overloads(demands, limits, start):
        first, last = map(date.fromordinal, overload[:2])
        full = Full(first, last, overload.minutes, overload.limit, 1)
        kinds.setdefault((overload.last - overload.first, weekday(overload.first)), []).append(full)
    for alike in kinds.values():
        worst = max(alike, key=lambda full: full.minutes - full.limit)
        yield worst._replace(times=len(alike))


def _fullest(household: Household, before: Load, after: Load, start: int) -> Iterator[Fullest]:
    """The fullest of each weekday, then of the weekends and the weeks as a whole."""
    week = [(household.week_start + day) % 7 for day in range(7)]
    kinds = [(DAYS[day], [day]) for day in week]
    if len(household.weekend) > 1:
        kinds.append(("weekend", list(household.weekend)))
    kinds.append(("week", week))
    for kind, week_days in kinds:
        length = len(week_days)
        opens = week_first(start + 6, week_days[0]) - start
        spans = [(day, day + length - 1) for day in range(opens, len(before.single), 7)]
        loads = before, after
        now, then = (max((load.inside(*span) for span in spans), default=0) for load in loads)
        # A single day of the weekend is shown only where it has chores: few homes have them.
        if now or then or length > 1 or week_days[0] not in household.weekend:
            yield Fullest(kind, now, then, _usual_limit(household, week_days))


def _usual_limit(household: Household, week_days: Sequence[int]) -> int | None:
    """What some days of the week hold together; None where one of them has no limit."""
    total = 0
    for day in week_days:
        kind = "weekend" if day in household.weekend else "weekday"
        of_day, of_kind = LimitOf(None, DAYS[day]), LimitOf(None, kind)
        limit = household.limits.get(of_day) or household.limits.get(of_kind)
        if limit is None:
            return None
        total += limit.minutes
    return total


def _moved(household: Household, choice: Choice) -> Moved:
    line = choice.routine
    return Moved(
        chore=choice.chore,
        title=household.chores[choice.chore].title,
        minutes=line.minutes or 0,
        from_section=header_of(line.section),
        to_section=header_of(choice.section),
        opens_section=choice.is_new,
        file=line.place.source.path,
        line=line.place.line + 1,
    )


def header_of(section: Section) -> str:
    """A section as a move names it: its cadence, and its title where it has one."""
    title = f" {quoted(section.title)}" if section.title is not None else ""
    return write_cadence(section.cadence) + title


def relocation_of(household: Household, choice: Choice) -> Relocation:
    """How a choice is written into the book."""
    line = Destination(choice.routine.place.source.path, choice.routine.place.line)
    if not choice.is_new:
        place = choice.section.place
        return Relocation(line, Destination(place.source.path, place.line))
    # A new section stands after the last one of its kind in the file.
    kind = rhythm_alone(choice.section.cadence)
    alike = [
        section.place.line
        for section in household.sections
        if section.place.source.path == line.path and rhythm_alone(section.cadence) == kind
    ]
    return Relocation(
        line, Destination(line.path, max(alike)), write_cadence(choice.section.cadence)
    )

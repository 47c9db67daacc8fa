"""Lighten: which chore lines to put under other sections, so that the year ahead fits its
limits."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Annotated, NamedTuple

from ledger.calendar.week import week_first, weekday, year_on
from ledger.household.model import Household, Section, Span
from ledger.planning.choices import Choice, choices, rhythm_alone
from ledger.planning.cuts import Move, Problem, load_of
from ledger.planning.fit import Load, misses, rooms_of
from ledger.planning.load import Demand, limited_people, overloads
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

Limits = Sequence[int | None]


class Full(NamedTuple):
    """A span of days with more minutes than it holds. It stands for all spans of its length and
    limit that begin on the same weekday, and is the worst of them."""

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
    person: str | None = None
    """Whose work it is, where it is too much for one person; None for that of the household."""


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
    """Minutes that most such days, weekends or weeks hold; None for no limit."""


class Lighten(NamedTuple):
    """The fewest moves of chore lines that make the days ahead fit the limits of the household,
    what these moves achieve, and what is proven about them. Moves are chosen to leave nobody more
    than their limit, or than what they have now."""

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
    """The shortest spans that do not fit now, the household's, then those of each person with a
    limit; of spans alike, one."""
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
    """Minutes of the household, of all days together, that still fit nowhere after the moves."""
    left: tuple[Full, ...]
    """The shortest spans that do not fit after the moves, as in `too_full`."""
    moves_least: Count | None
    """No fewer moves than this make everything fit that is the household's; None where no number
    of moves does."""
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
    """The fewest moves that take all overload of the household out of the year from a day on.

    Of several such sets of moves, the one with the lightest heaviest day. With `most`, up to
    that many moves may be made, also where nothing is too full. A move puts one line of a chore
    under another section of the same rhythm.
    """
    days = range(on, year_on(on) + 1)
    movable = choices(household, days)
    problem = movable.problem
    result = relief(problem, most)
    chosen = [movable.options[move.piece][move.option - 1] for move in result.moves]
    before, after = load_of(problem), load_of(problem, result.moves)
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
        too_full=tuple(_too_full(household, problem, on)),
        moves=tuple(_moved(household, choice) for choice in chosen),
        fullest=tuple(_fullest(household, before, after, problem.limits[0], on)),
        heaviest_before=result.height_before,
        heaviest_after=result.height,
        minutes_left=result.left,
        left=tuple(_too_full(household, problem, on, result.moves)),
        moves_least=result.moves_least,
        heaviest_least=result.height_least,
        proven=proven if fits else result.moves_least is None,
    )
    return Proposal(answer, tuple(relocation_of(household, choice) for choice in chosen))


def _too_full(
    household: Household, problem: Problem, on: int, moves: Sequence[Move] = ()
) -> Iterator[Full]:
    """The spans that do not fit after some moves: the household's, and of each person those that
    are not the household's too."""
    of_all: set[Full] = set()
    for layer, person in enumerate((None, *limited_people(household))):
        for full in _full(load_of(problem, moves, layer), problem.limits[layer], on):
            if person is None:
                of_all.add(full)
            if person is None or full not in of_all:
                yield full._replace(person=person)


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
    kinds: dict[tuple[int, int, int], list[Full]] = {}
    for overload in overloads(demands, limits, start):
        first, last = map(date.fromordinal, overload[:2])
        full = Full(first, last, overload.minutes, overload.limit, 1)
        kind = overload.last - overload.first, weekday(overload.first), overload.limit
        kinds.setdefault(kind, []).append(full)
    for alike in kinds.values():
        worst = max(alike, key=lambda full: full.minutes - full.limit)
        yield worst._replace(times=len(alike))


def _fullest(
    household: Household, before: Load, after: Load, limits: Limits, start: int
) -> Iterator[Fullest]:
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
            yield Fullest(kind, now, then, _usual_limit(limits, spans))


def _usual_limit(limits: Limits, spans: Sequence[Span]) -> int | None:
    """What most of some spans hold; None where they have days without a limit."""
    held = Counter[int | None]()
    for first, last in spans:
        own = [limit for limit in limits[first : last + 1] if limit is not None]
        held[sum(own) if len(own) == last + 1 - first else None] += 1
    return held.most_common(1)[0][0] if held else None


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

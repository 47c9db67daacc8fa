"""Two things that must never meet, used on one day.

Why it matters: bleach and an acid give off chlorine gas (Children's Hospital of Philadelphia,
Poison Control Center), and other pairs are as bad. In one area this is an error, and a chore
that names no area counts as in every one. In two areas on the same day it is a note. No list puts
both on one day while there is another. Where there is none, the list of the day says so, even if
the finding is allowed.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from ledger.household.apart import share_area
from ledger.household.dangerous_pairs import Danger
from ledger.household.model import Routine
from ledger.household.things import LAST_WORD, danger, is_dangerous, meeting
from ledger.lint.book import LintedBook, dated
from ledger.lint.meeting import asked_days, meetings
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.words import listed

RULE = Kind.of(__name__, Severity.ERROR)

BAD = """\
area bathroom

every saturday
    bath   20 min  in bathroom  uses bleach
    taps   10 min  in bathroom  uses vinegar
                                     ^^^^^^^
"""

GOOD = """\
area bathroom

every saturday
    bath   20 min  in bathroom  uses bleach

every wednesday
    taps   10 min  in bathroom  uses vinegar
"""

IS_SAFETY = True

SHORT = 3
"""The longest window that leaves little choice, in days: a weekend."""
MANY = 60
"""With more uses of things that can hurt than this, not every pair is reported."""


class Use(NamedTuple):
    """A thing as a line of the routine uses it."""

    chore: str
    routine: Routine
    thing: str


class Meeting(NamedTuple):
    """Two uses that can fall on one day."""

    is_certain: bool
    """True in one area, and where one of the two names none."""
    day: int
    areas: tuple[str, ...]
    one: Use
    other: Use
    danger: Danger


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each pair of chores, or one chore, with such things: for their worst
    meeting."""
    uses = [
        Use(name, routine, thing)
        for name, chore in book.household.chores.items()
        for routine in chore.routines
        for thing in routine.things
        if is_dangerous(thing) and book.lasts(routine)
    ]
    worst: dict[tuple[str, str], Meeting] = {}
    for candidate in _meetings_of_kinds(book, uses) if len(uses) > MANY else _meetings(book, uses):
        pair = candidate.one.chore, candidate.other.chore
        if pair not in worst or _rank(candidate) < _rank(worst[pair]):
            worst[pair] = candidate
    for candidate in worst.values():
        yield _finding(book, candidate)


def _meetings(book: LintedBook, uses: Sequence[Use]) -> Iterator[Meeting]:
    """The meetings of any two uses that can fall on one day."""
    for one, other in combinations(uses, 2):
        known = danger(one.thing, other.thing)
        found = _meeting(book, one, other, known) if known else None
        if found is not None:
            yield found


def _meetings_of_kinds(book: LintedBook, uses: Sequence[Use]) -> Iterator[Meeting]:
    """The meetings within each line, and those between the first uses of each kind. Every other use
    of a kind gets only the worst meeting of its first use."""
    lines: dict[int, list[Use]] = {}
    kinds: dict[Hashable, list[Use]] = {}
    for use in uses:
        lines.setdefault(id(use.routine), []).append(use)
        kinds.setdefault(_kind(book, use), []).append(use)
    for some in lines.values():
        yield from _meetings(book, some)
    others = {some[0]: some[1:] for some in kinds.values()}
    for met in sorted(_meetings(book, list(others)), key=_rank):
        yield met
        for first, use in ((met.one, met.other), (met.other, met.one)):
            for other in others.pop(use, ()):
                yield met._replace(one=first, other=other)


def _kind(book: LintedBook, use: Use) -> Hashable:
    """A key that uses share if they are of one thing, on the same days, in the same areas and by
    the same people."""
    chore = book.household.chores[use.chore]
    line = use.routine
    if len(chore.routines) > 1 or chore.is_after_done:
        return use.chore, line.name_place, use.thing
    return use.thing, line.falls, line.areas, line.assignment, line.vital


def _meeting(book: LintedBook, one: Use, other: Use, known: Danger) -> Meeting | None:
    """The first meeting of two uses, None without one. In two areas they meet only where their
    windows leave little choice."""
    certain = share_area(one.routine, other.routine)
    areas = tuple(area for area in one.routine.areas if area in other.routine.areas)
    days = (asked_days(book, use.chore, use.routine) for use in (one, other))
    for left, right in meetings(*days):
        if min(left.last, right.last) < book.today:
            continue
        if certain or max(left.choice, right.choice) <= SHORT:
            day = max(left.first, right.first, book.today)
            return Meeting(certain, day, areas, one, other, known)
    return None


def _rank(met: Meeting) -> tuple[bool, int]:
    return not met.is_certain, met.day


def _finding(book: LintedBook, met: Meeting) -> Finding:
    one, other = met.one, met.other
    day = dated(met.day)
    if one.routine is other.routine:
        message = f'"{one.chore}" uses {one.thing} and {other.thing}, next on {day}'
        fix = f"write another thing for `{other.thing}`, or make two chores of it on other days"
    else:
        where = f"both in {listed(met.areas)} on {day}" if met.areas else f"both on {day}"
        if not met.is_certain:
            where = f"in two areas on {day}"
        message = f'"{one.chore}" uses {one.thing} and "{other.chore}" {other.thing}, {where}'
        fix = (
            f"put `{other.chore}` under a header of other days, or write another thing for "
            f"`{other.thing}`"
        )
    return RULE.finding(
        _place(book, other),
        message,
        f"{meeting(one.thing, other.thing, met.danger)}; the label decides, not the kind of "
        f"product. {LAST_WORD.rstrip('.')}",
        fix,
        (_place(book, one),),
        severity=None if met.is_certain else Severity.NOTE,
    )


def _place(book: LintedBook, use: Use) -> TextRange:
    """The range of the thing in its line."""
    place = use.routine.place
    name = next(name for name in book.line_of(use.routine).things if name.value == use.thing)
    return name.at(place.source, place.line)

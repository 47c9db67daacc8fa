"""Slips: what in a new line of the record looks like a slip of the fingers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Literal, NamedTuple

from ledger.household.model import Household
from ledger.keeping.minutes import learned_minutes
from ledger.keeping.record_lines import lines_of
from ledger.report.settles import Effect
from ledger.text.tree import RecordEntry

OFTEN = 5
"""Minutes over so many times the usual are asked about."""
LONG_AGO = 366
"""Days further back than these are asked about."""


class Slip(NamedTuple):
    """One thing that is odd in a line."""

    kind: Literal["again", "twice", "minutes", "nobody's", "before", "long ago"]
    chore: str = ""
    """Empty where it is about the whole line."""
    minutes: int = 0
    """Minutes that the line gives."""
    usual: float = 0
    """Minutes that the chore takes as a rule, learned or else declared."""
    day: date | None = None
    """The day that the line is compared with."""
    days: int = 0
    """Days between the two."""
    people: tuple[str, ...] = ()
    """Those who each have a share, where nobody of the line has one."""


def slips(
    household: Household, day: int, entry: RecordEntry, found: Sequence[Effect]
) -> list[Slip]:
    """What looks like a slip in a line of a day, given what the line does."""
    return [*_of_day(household, day), *_of_chores(household, day, entry, found)]


def _of_day(household: Household, day: int) -> Iterator[Slip]:
    since = household.since
    if since is not None and day < since:
        yield Slip("before", day=date.fromordinal(since), days=since - day)
    elif household.today - day > LONG_AGO:
        yield Slip("long ago", day=date.fromordinal(household.today), days=household.today - day)


def _of_chores(
    household: Household, day: int, entry: RecordEntry, found: Sequence[Effect]
) -> Iterator[Slip]:
    people = {person.value for person in entry.people}
    named = [item.name.value for item in entry.items]
    for effect in found:
        chore = effect.chore
        if named.count(chore) > 1:
            yield Slip("twice", chore)
        sharing = [share.timeline.person for share in effect.shares]
        if people and None not in sharing and people.isdisjoint(sharing):
            yield Slip("nobody's", chore, people=tuple(filter(None, sharing)))
        elif not effect.windows and _is_there(household, chore, day, entry, None in sharing):
            yield Slip("again", chore)
        usual = _usual(household, chore, day)
        if usual and effect.minutes > OFTEN * usual:
            yield Slip("minutes", chore, effect.minutes, usual)


def _is_there(
    household: Household, chore: str, day: int, entry: RecordEntry, is_for_all: bool
) -> bool:
    """True if a line of the day says already that a chore was done, or skipped; where each person
    has a share, a line of one of the same people."""
    people = {person.value for person in entry.people}
    return entry.verb in ("did", "skipped") and any(
        line.verb == entry.verb
        and (is_for_all or not people or not line.people or not people.isdisjoint(line.people))
        for line in lines_of(household.log, chore, day, day)
    )


def _usual(household: Household, chore: str, day: int) -> float:
    """The minutes that a chore takes: learned, else the most that a line declares, else 0."""
    learned = learned_minutes(household, chore, day)
    if learned is not None:
        return learned.minutes
    return max((line.minutes or 0 for line in household.chores[chore].routines), default=0)

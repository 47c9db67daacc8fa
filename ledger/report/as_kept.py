"""Days to come, as if those before were kept: next week's list is not what tonight left over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ledger.household.model import Household
from ledger.keeping.history import shares_of
from ledger.keeping.occasion import Occasion
from ledger.planning.plan import rolled
from ledger.text.parts import Located
from ledger.text.tree import RecordEntry, RecordItem

FAR, NEAR = 400, 60
"""Where a day is more than so many days ahead, only so many days before it are planned: what is
owed then is taken as done on the day before them."""


def as_kept(household: Household, day: int) -> tuple[Household, int | None]:
    """For a day to come, the household with all done that the plan of the days from today on asks
    for, and today; for any other day the household as it is."""
    today = household.as_of
    if today is None or day <= today:
        return household, None
    if day - today > FAR:
        lines = _owed(household, day - NEAR - 1)
        near = replace(household, log=household.log.with_lines(lines), as_of=day - NEAR)
        return replace(as_kept(near, day)[0], as_of=today), today
    planned = sorted(rolled(household, today, day - 1), key=lambda one: one.day)
    lines = (
        (one.day, did_line(one.entry.occasion)) for one in planned if one.entry.settled is None
    )
    return replace(household, log=household.log.with_lines(lines)), today


def did_line(one: Occasion) -> RecordEntry:
    """The line of the record by which a window is done."""
    people = () if one.person is None else (Located(one.person, 0, 0),)
    return RecordEntry("did", (RecordItem(Located(one.chore, 0, 0)),), people)


def _owed(household: Household, day: int) -> Iterator[tuple[int, RecordEntry]]:
    """A `did` on a day for each window that is owed by then and has no later day."""
    for chore in household.chores.values():
        for share in shares_of(household, chore, day, day):
            one = share.owed
            if one is not None and one.last <= day and not one.routine.spare:
                yield day, did_line(one)

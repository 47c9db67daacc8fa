"""Days to come, as if those before were kept: next week's list is not what tonight left over."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ledger.household.model import Household
from ledger.keeping.history import shares_of
from ledger.text.parts import Located
from ledger.text.tree import RecordEntry, RecordItem


def as_kept(household: Household, day: int) -> tuple[Household, int | None]:
    """For a day to come, the household with all done that the days from today on ask for, and
    today; for any other day the household as it is."""
    today = household.as_of
    if today is None or day <= today:
        return household, None
    log = household.log.with_lines(_kept(household, today, day - 1))
    return replace(household, log=log), today


def _kept(household: Household, today: int, last: int) -> Iterator[tuple[int, RecordEntry]]:
    """A `did` for each window that must be done from today to a day, on the last day for it; where
    the next one is counted from it, on the first."""
    for chore in household.chores.values():
        name = Located(chore.name, 0, 0)
        for share in shares_of(household, chore, today, today):
            person = share.timeline.person
            people = () if person is None else (Located(person, 0, 0),)
            entry = RecordEntry("did", (RecordItem(name),), people)
            for one in share.to_do(last):
                span = one.asked_span(today)
                if span is not None and span[1] <= last and not one.routine.spare:
                    yield span[0 if chore.is_after_done else 1], entry

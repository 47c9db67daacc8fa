"""Container: what of the chores of one container is to be recorded on a day."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from ledger.household.cadence import Container
from ledger.household.model import Household
from ledger.keeping.history import Share, shares_of


class Contents(NamedTuple):
    """The chores of a container on a day, in the order of the book."""

    open: tuple[str, ...]
    """Still to be done by the people asked about, and not spare."""
    done: tuple[str, ...]
    """Their last window is settled, and its days are not over."""


def contents(
    household: Household, container: Container, day: int, people: Sequence[str]
) -> Contents:
    """What is open in a container on a day, and what is done already. Where each person has a
    share, that of `people` counts; of everybody if there are none."""
    to_do, done = [], []
    for name, chore in household.chores.items():
        if not any(line.section in container.sections for line in chore.routines):
            continue
        shares = [
            share
            for share in shares_of(household, chore, day, day)
            if not people or share.timeline.person in (None, *people)
        ]
        if any(_is_open(share, container) for share in shares):
            to_do.append(name)
        elif any(_is_done(share, container, day) for share in shares):
            done.append(name)
    return Contents(tuple(to_do), tuple(done))


def _is_open(share: Share, container: Container) -> bool:
    one = share.owed
    return one is not None and not one.routine.spare and one.routine.section in container.sections


def _is_done(share: Share, container: Container, day: int) -> bool:
    one = share.standing
    return (
        one is not None
        and one.mark is not None
        and one.routine.section in container.sections
        and (day <= one.last or one.mark.day == day)
    )

"""Only: the containers that a paper is to have."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from ledger.cli.naming import resolved_name

if TYPE_CHECKING:
    from ledger.household.model import Household
    from ledger.report.routine import RoutineContainer


def container_named(household: Household, only: str | None) -> str | None:
    """The container that a call names, if it names one. Ends with exit 2 if that fits none or
    several."""
    from ledger.household.cadence import containers

    return resolved_name("container", only, containers(household.sections))


def chore_named(household: Household, chore: str | None) -> str | None:
    """The chore that a call names, if it names one. Ends with exit 2 if that fits none or
    several."""
    return resolved_name("chore", chore, household.chores)


def containers_on(
    household: Household, day: int, title: str | None, chore: str | None, paused: bool = False
) -> Sequence[RoutineContainer]:
    """The containers that have chores on a day or later, or the paused ones too; with a title only
    that one, with a chore only it of each."""
    from ledger.report.routine import routine

    held = [
        one._replace(chores=tuple(each for each in one.chores if chore in (None, each.chore)))
        for one in routine(household, day, paused=paused).containers
        if title in (None, one.title)
    ]
    return [one for one in held if one.chores]


def containers_asked(
    household: Household, day: int, only: str | None, paper: str, chore: str | None = None
) -> Sequence[RoutineContainer]:
    """The containers that a call asks for, as `containers_on` has them; what is named may be
    paused. Ends with exit 2 if there is none; `paper` says what cannot be printed then."""
    title, name = container_named(household, only), chore_named(household, chore)
    asked = containers_on(household, day, title, name)
    if not asked and (title, name) != (None, None):
        asked = containers_on(household, day, title, name, paused=True)
    if not asked:
        whose = "the book" if title is None else f'"{title}"'
        which = "" if name is None else f" {name}"
        raise click.UsageError(
            f"{whose} has no chore{which} now or to come: there is no {paper} to print"
        )
    return asked

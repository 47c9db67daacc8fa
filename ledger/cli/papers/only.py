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


def containers_on(household: Household, day: int, title: str | None) -> Sequence[RoutineContainer]:
    """All containers that have chores on a day or later, or the one with a title, paused or not."""
    from ledger.report.routine import routine

    there = routine(household, day).containers
    if title is None:
        return there
    paused = routine(household, day, paused=True).containers
    return [one for one in (*there, *paused) if one.title == title][:1]


def containers_asked(
    household: Household, day: int, only: str | None, paper: str
) -> Sequence[RoutineContainer]:
    """The containers that a call asks for, as `containers_on` has them. Ends with exit 2 if there
    is none; `paper` says what cannot be printed then."""
    title = container_named(household, only)
    asked = containers_on(household, day, title)
    if not asked:
        whose = "the book" if title is None else f'"{title}"'
        raise click.UsageError(f"{whose} has no chore now or to come: there is no {paper} to print")
    return asked

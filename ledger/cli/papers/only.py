"""Only: the containers that a paper is to have."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from ledger.cli.naming import the_one

if TYPE_CHECKING:
    from ledger.household.model import Household
    from ledger.report.routine import RoutineContainer


def containers_asked(
    household: Household, day: int, only: str | None, paper: str
) -> Sequence[RoutineContainer]:
    """All containers that have chores on a day or later, or the one that a call names, paused or
    not. Ends with exit 2 if there is none; `paper` says what cannot be printed then."""
    from ledger.household.cadence import containers
    from ledger.household.called import Called
    from ledger.report.routine import routine

    asked = routine(household, day).containers
    if only is not None:
        only = the_one("container", only, Called(containers(household.sections)))
        paused = routine(household, day, paused=True).containers
        asked = tuple(one for one in (*asked, *paused) if one.title == only)[:1]
    if not asked:
        whose = "the book" if only is None else f'"{only}"'
        raise click.UsageError(
            f"{whose} has no chore now or to come: there is no {paper} to print"
        )
    return asked

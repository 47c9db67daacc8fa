"""`besom moved`: records that a chore is done on another day this once."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

import click

from ledger.cli.days import day_named
from ledger.cli.items import items_named
from ledger.cli.recording import Call, Recording, recording_options

if TYPE_CHECKING:
    from ledger.report.settles import Effect

_DAY = "DAY"
_MOST_WORDS = 4
"""The words of the longest way to say a day: `in 2 weeks`, and `to` before it."""


@click.command("moved")
@click.argument("words", nargs=-1, required=True, metavar="CHORE DAY")
@recording_options
def command(words: tuple[str, ...], **call: Any) -> None:
    """Record that a chore is done on another day this once.

    DAY is said as after --on, but it is the next day of a name: `sunday` is the coming one.

    \b
    Examples:
      besom moved bins friday
      besom moved oven in 2 weeks --note "no lye left"
    """
    record = Recording(Call(**call))
    names, to = _parted(words, record.today)
    items = items_named(names, record.known, record.today)
    if len(items) > 1 or items[0].minutes:
        raise click.UsageError("one chore is moved at a time, without minutes: `oven friday`")
    if to < record.day:
        raise click.BadParameter(
            f"{to} is over; a chore is moved to a day that comes", param_hint=_DAY
        )

    def refuse_extra(effects: Sequence[Effect]) -> None:
        (found,) = effects
        if not found.windows:
            from ledger.render.moving_text import no_move_text
            from ledger.report.moving import no_move

            answer = no_move(found.shares[0], found.chore, record.day.toordinal(), to.toordinal())
            raise click.UsageError(no_move_text(answer))

    record.add("moved", [f"{items[0].name} to {to}"], refuse=refuse_extra)


def _parted(words: Sequence[str], today: date) -> tuple[Sequence[str], date]:
    """The words of the chore, and the day behind them: the longest run of words that is one. Ends
    with exit 2 if there is none."""
    split = " ".join(words).split()
    for at in range(max(1, len(split) - _MOST_WORDS), len(split)):
        said = split[at + 1 :] if split[at].lower() == "to" and split[at + 1 :] else split[at:]
        try:
            return split[:at], day_named(" ".join(said), today, parameter=_DAY)
        except click.BadParameter:
            if at == len(split) - 1:
                raise
    raise click.UsageError("name the day behind the chore: `oven friday`")

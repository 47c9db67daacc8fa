"""`besom worked`: records that some of a chore was done."""

from __future__ import annotations

from typing import Any

import click

from ledger.cli.items import items_named
from ledger.cli.naming import people_named
from ledger.cli.recording import Call, Recording, by_option, recording_options


@click.command("worked")
@click.argument("words", nargs=-1, required=True, metavar="CHORE MINUTES...")
@by_option
@recording_options
def command(words: tuple[str, ...], people: tuple[str, ...], **call: Any) -> None:
    """Record that some of a chore is done: it stays on the list, with fewer minutes.

    \b
    Examples:
      besom worked paint-gate 25         25 minutes of it are done
      besom worked paint-gate 1h30 --by noor --on sunday
    """
    record = Recording(Call(**call))
    items = items_named(words, record.known, record.today)
    untimed = next((item.name for item in items if not item.minutes), None)
    if untimed is not None:
        raise click.UsageError(
            f"how long was it? Write the minutes behind each chore: `{untimed} 20`"
        )
    by = people_named(people, record.household.people)
    record.add("worked", [item.text for item in items], by)

"""`besom did`: records what was done."""

from __future__ import annotations

from typing import Any

import click

from ledger.cli.items import items_named
from ledger.cli.naming import people_named
from ledger.cli.recording import Call, Recording, by_option, recording_options


@click.command("did")
@click.argument("words", nargs=-1, required=True, metavar="CHORE [MINUTES]...")
@by_option
@recording_options
def command(words: tuple[str, ...], people: tuple[str, ...], **call: Any) -> None:
    """Record what was done: adds one line to the record, and prints it.

    A chore goes by its name, its title, or the beginnings of their words.

    \b
    Examples:
      besom did oven 35                  the oven, in 35 minutes
      besom did wash-up 12 make-beds --by edie
      besom did walk dog 1h30 --on sunday
      besom did sheets --on yesterday --note "both beds"
    """
    record = Recording(Call(**call))
    items = items_named(words, record.called, record.today)
    by = people_named(people, record.household.people)
    record.add("did", [item.text for item in items], by)

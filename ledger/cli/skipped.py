"""`besom skipped`: records that a chore is left out this once."""

from __future__ import annotations

from typing import Any

import click

from ledger.cli.items import items_named
from ledger.cli.recording import Call, Recording, recording_options


@click.command("skipped")
@click.argument("words", nargs=-1, required=True, metavar="CHORE...")
@recording_options
def command(words: tuple[str, ...], **call: Any) -> None:
    """Record that a chore is left out this once: it counts as neither done nor missed.

    \b
    Examples:
      besom skipped wash-up              out all day
      besom skipped oven sheets --note "away next weekend"
    """
    record = Recording(Call(**call))
    items = items_named(words, record.known, record.today)
    timed = next((item for item in items if item.minutes), None)
    if timed is not None:
        raise click.UsageError(
            f"what is skipped takes no minutes; some of it done is `besom worked {timed.text}`"
        )
    record.add("skipped", [item.text for item in items])

"""`besom did`: records what was done."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from ledger.cli.items import Item, items_named
from ledger.cli.naming import named, people_named
from ledger.cli.recording import Call, Recording, by_option, recording_options
from ledger.household.cadence import Container, containers
from ledger.household.called import Called


@click.command("did")
@click.argument("words", nargs=-1, required=True, metavar="CHORE|CONTAINER [MINUTES]...")
@click.option(
    "--but", "excepted", multiple=True, metavar="CHORE", help="What of a container was not done."
)
@by_option
@recording_options
def command(
    words: tuple[str, ...], people: tuple[str, ...], excepted: tuple[str, ...], **call: Any
) -> None:
    """Record what was done: adds one line to the record, and prints it.

    A chore goes by its name, its title, or the beginnings of their words. A container goes by its
    title, and stands for all that is still to be done of it.

    \b
    Examples:
      besom did oven 35                  the oven, in 35 minutes
      besom did wash-up 12 make-beds --by edie
      besom did walk dog 1h30 --on sunday
      besom did sheets --on yesterday --note "both beds"
      besom did "Morning tin" --but make-beds
    """
    record = Recording(Call(**call))
    by = people_named(people, record.household.people)
    boxes = containers(record.household.sections)
    titled = {title: one for title, one in boxes.items() if one.sections[0].title}
    known = record.known._replace(containers=Called(boxes), titled=Called(titled))
    items = items_named(words, known, record.today)
    if excepted and not any(item.is_container for item in items):
        raise click.UsageError('--but goes with a container: `"Morning tin" --but make-beds`')
    done: list[str] = []
    texts: list[str] = []
    for item in items:
        if item.is_container:
            texts += _contents(record, boxes[item.name], items, excepted, by, done)
        else:
            texts.append(item.text)
    remark = f"  left out, as done already: {', '.join(done)}\n" if done else ""
    record.add("did", texts, by, remark=remark)


def _contents(
    record: Recording,
    container: Container,
    items: Sequence[Item],
    excepted: Sequence[str],
    people: Sequence[str],
    done: list[str],
) -> list[str]:
    """The chores of a container that are to be recorded; those done already are added to `done`.
    Ends with exit 2 if there is none."""
    from ledger.report.container import contents

    chores = record.household.chores
    inside = {
        name: chore
        for name, chore in chores.items()
        if any(line.section in container.sections for line in chore.routines)
    }
    left_out = {*named("chore", excepted, Called(inside)), *(item.name for item in items)}
    found = contents(record.household, container, record.day.toordinal(), people)
    done += (name for name in found.done if name not in left_out)
    names = [name for name in found.open if name not in left_out]
    if not names:
        raise click.UsageError(f'nothing of "{container.title}" is left to do on {record.day}')
    return names

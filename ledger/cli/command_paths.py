"""Commands below a group, and the words that lead to each."""

from __future__ import annotations

from collections.abc import Iterator

import click


def commands_below(ctx: click.Context) -> Iterator[click.Context]:
    """A context for each command of a group, and for each command of those that are groups."""
    group = ctx.command
    if not isinstance(group, click.Group):
        return
    for name in group.list_commands(ctx):
        command = group.get_command(ctx, name)
        assert command is not None
        below = click.Context(command, ctx, name)
        yield below
        yield from commands_below(below)


def path_of(ctx: click.Context) -> list[str]:
    """The words that lead to a command, without `besom`: `paper`, `tags`."""
    return [] if ctx.parent is None else [*path_of(ctx.parent), ctx.info_name or ""]

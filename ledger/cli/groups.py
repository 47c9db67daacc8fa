"""Groups of commands, each command in a module of its own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

import click

from ledger.cli.faults import refuse_doubtful

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem


class LazyGroup(click.Group):
    """A group of commands, each of which is imported only if needed."""

    def __init__(
        self,
        *args: Any,
        abouts: Callable[[], Mapping[str, str]],
        load: Callable[[str], click.Command],
        **more: Any,
    ) -> None:
        """`abouts` gives the names of the commands, each with a few words on what it answers;
        `load` imports the command of a name."""
        super().__init__(*args, **more)
        self.abouts = abouts
        self._load = load

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """The commands by name."""
        return sorted(self.abouts())

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """The command of a name, or None."""
        return self._load(cmd_name) if cmd_name in self.abouts() else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """The commands with what they answer, without importing any of them."""
        with formatter.section("Commands"):
            formatter.write_dl(sorted(self.abouts().items()))

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        """The commands, and the options of the group itself, that begin with a text."""
        from click.shell_completion import CompletionItem

        found = [
            CompletionItem(name, help=about)
            for name, about in sorted(self.abouts().items())
            if name.startswith(incomplete)
        ]
        return found + click.Command.shell_complete(self, ctx, incomplete)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that was called. Refuses a name that is none, with the nearest, and options
        whose values are in doubt."""
        if args and not args[0].startswith("-") and self.get_command(ctx, args[0]) is None:
            from ledger.cli.wrong_calls import no_such_command

            raise no_such_command(ctx, args, self.list_commands(ctx))
        name, command, rest = super().resolve_command(ctx, args)
        if command is not None:
            refuse_doubtful(command, rest, ctx)
        return name, command, rest

"""`besom paper`: the book on paper, in true size."""

from __future__ import annotations

import importlib
from typing import Any

import click

PAPERS = {
    "labels": "a label for each container",
    "sheet": "the whole routine on a page",
    "tags": "a tag for each chore",
    "week": "the list of the week with boxes to tick",
}
"""Each paper with a few words on what it is."""


class Papers(click.Group):
    """The papers, each in a module of its own, which is imported only if needed."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """The papers by name."""
        return sorted(PAPERS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """The command of a name, or None."""
        if cmd_name not in PAPERS:
            return None
        module: Any = importlib.import_module(f"ledger.cli.papers.{cmd_name}")
        command: click.Command = module.command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """The papers with what they are, without importing any of them."""
        with formatter.section("Papers"):
            formatter.write_dl(sorted(PAPERS.items()))


@click.group("paper", cls=Papers)
def command() -> None:
    """Print the book in true size: tags, labels of containers, the routine, the week.

    The answer is a PDF. Print it at 100 %, not fitted to the page: a bar at its edge measures 50 mm
    then. Needs the extra `paper`: pip install '.[paper]' in a copy of besom.

    \b
    Examples:
      besom paper tags -o tags.pdf            a tag for each chore
      besom paper sheet --page A5 -o sheet.pdf
      besom paper week --for edie -o week.pdf
    """

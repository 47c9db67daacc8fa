"""`besom paper`: the book on paper, in true size."""

from __future__ import annotations

import importlib
from typing import Any

import click

from ledger.cli.groups import LazyGroup

PAPERS = {
    "labels": "a label for each container",
    "sheet": "the whole routine on a page",
    "tags": "a tag for each chore",
    "week": "the list of the week with boxes to tick",
}
"""Each paper with a few words on what it is."""


def _load(name: str) -> click.Command:
    module: Any = importlib.import_module(f"ledger.cli.papers.{name}")
    command: click.Command = module.command
    return command


@click.group("paper", cls=LazyGroup, abouts=lambda: PAPERS, load=_load)
def command() -> None:
    """Print the book in true size: tags, labels of containers, the routine, the week.

    The answer is a PDF. Print it at 100 %, not fitted to the page. The bar on a page must measure
    50 mm. Needs the extra `paper`: pip install '.[paper]' in a copy of besom.

    \b
    Examples:
      besom paper tags -o tags.pdf            a tag for each chore
      besom paper sheet --page A5 -o sheet.pdf
      besom paper week --for edie -o week.pdf
    """

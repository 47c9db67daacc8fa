"""Measures in a call: sizes, lengths and pages, as values of options."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import click

from ledger.render.paper.measures import PAGES, MeasureFault, Size, read_page

T = TypeVar("T")
F = TypeVar("F", bound=Callable[..., None])


def measured(read: Callable[[str], T]) -> Callable[[str], T]:
    """A reader of `render/paper/measures.py` as the type of an option: what it cannot read ends
    with exit 2."""

    def value(text: str) -> T:
        try:
            return read(text)
        except MeasureFault as fault:
            raise click.BadParameter(str(fault)) from fault

    return value


def page_option(
    default: str, read: Callable[[str], Size] = read_page, is_shown: bool = True
) -> Callable[[F], F]:
    """`--page PAGE`, by its name or its measures. Without `is_shown` the value is None where a call
    says none, and the help alone has the default."""
    return click.option(
        "--page",
        type=measured(read),
        metavar="PAGE",
        default=default if is_shown else None,
        show_default=True,
        help=f"{', '.join(PAGES)}, or measures: 148x210mm"
        + ("." if is_shown else f"; else {default}."),
    )

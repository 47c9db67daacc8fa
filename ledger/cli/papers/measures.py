"""Measures in a call: sizes, lengths and pages, as values of options."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import click

from ledger.render.paper.measures import MeasureFault

T = TypeVar("T")


def measured(read: Callable[[str], T]) -> Callable[[str], T]:
    """A reader of `render/paper/measures.py` as the type of an option: what it cannot read ends
    with exit 2."""

    def value(text: str) -> T:
        try:
            return read(text)
        except MeasureFault as fault:
            raise click.BadParameter(str(fault)) from fault

    return value

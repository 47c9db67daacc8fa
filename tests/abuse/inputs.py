"""The registry of slow inputs: books that are small and once took long, each made at any size.

A module `inputs_*.py` in this folder makes some of them; `slow_inputs.py` finds the modules by
their names and runs all inputs in one table.
"""

from __future__ import annotations

import importlib
import re
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

DAY = "2026-11-25"


class Versions(NamedTuple):
    """A book, and what it is compared and merged with."""

    book: str
    before: str
    """The version that both sides come from."""
    theirs: str
    """The other side of a merge."""


Make = Callable[[int], str | Versions]


class Input(NamedTuple):
    """One slow input."""

    name: str
    size: int
    """The n at which the book has about 100 kB, or is as long as a book can be asked to be."""
    make: Make
    days: tuple[str, ...]
    """The days to ask for, as `--on` takes them."""
    commands: tuple[str, ...]
    """The commands that it is about; none for all of them."""

    def versions(self, n: int) -> Versions:
        """The book at a size; where it says nothing of other versions, each has lost some lines."""
        made = self.make(n)
        return made if isinstance(made, Versions) else thinned(made)


INPUTS: dict[str, Input] = {}
"""All inputs by name, as far as their modules were imported."""


def slow_input(
    size: int, days: tuple[str, ...] = (DAY,), commands: tuple[str, ...] = ()
) -> Callable[[Make], Make]:
    """Register a function from n to a book, or to versions of one, under its own name."""

    def register(make: Make) -> Make:
        assert make.__name__ not in INPUTS, make.__name__
        INPUTS[make.__name__] = Input(make.__name__, size, make, days, commands)
        return make

    return register


def thinned(book: str) -> Versions:
    """A book, with a version before it that lacks a tenth of its lines, and another side that
    lacks a fifth."""
    lines = book.splitlines(keepends=True)
    before = "".join(line for number, line in enumerate(lines) if number % 10 != 3)
    theirs = "".join(line for number, line in enumerate(lines) if number % 5 != 2)
    return Versions(book, before, theirs)


def load_all() -> dict[str, Input]:
    """All inputs, after importing each module that makes some."""
    for path in sorted(Path(__file__).parent.glob("inputs_*.py")):
        importlib.import_module(path.stem)
    return INPUTS


def a_chore(book: str) -> str:
    """The name of some chore of a book, for the command that asks for one."""
    found = re.search(r"^[ \t]+([^\W\d_][^\s,#\"]*)", book, re.MULTILINE)
    return found[1] if found else "x"

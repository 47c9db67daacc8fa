"""Misplaced words: a day, a person, an area or a chore in the place of a book."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

import click

from ledger.cli.faults import WrongCall, is_day, replacing
from ledger.homes import read_household
from ledger.workspace import WorkspaceFault, is_there


def misplaced(paths: Sequence[Path]) -> WrongCall | None:
    """What to say of the first path that is none, if it is a word that goes elsewhere."""
    options = {name for one in click.get_current_context().command.params for name in one.opts}
    missing = [str(path) for path in paths if not is_there(path)]
    for word in missing:
        if is_day(word) and "--on" in options:
            return _behind("the day", "--on", word)
    # What looks like a path is not worth reading the book for.
    if missing and not {"/", "."} & set(missing[0]):
        with suppress(WorkspaceFault):
            household = read_household([path for path in paths if is_there(path)] or [Path()])
            for what, option, names in (
                ("the person", "--for", household.household.people),
                ("the area", "--in", household.household.areas),
            ):
                for name, one in names.items():
                    if option in options and missing[0].casefold() in (
                        name.casefold(), one.title.casefold()
                    ):  # fmt: skip
                        return _behind(what, option, missing[0])
            if missing[0] in household.household.chores:
                right = f"besom chore {missing[0]}"
                return WrongCall(
                    f"{missing[0]} is a chore and no book; did you mean `{right}`?",
                    lambda _: ["chore", missing[0]],
                )
    return None


def _behind(what: str, option: str, word: str) -> WrongCall:
    return WrongCall(f"{what} goes after {option}: `{option} {word}`",
                     replacing(word, option, word))  # fmt: skip

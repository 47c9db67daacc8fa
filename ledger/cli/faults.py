"""Faults of a call that know the right call, for `wrong_calls` to show."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from functools import partial

import click

from ledger.cli.days import ISO_DATE, day_named

Correcting = Callable[[Sequence[str]], list[str] | None]
"""A function from the words of a wrong call to those of the right one; None if it has none."""


class WrongCall(click.UsageError):
    """A wrong call, with what makes a right one of it."""

    def __init__(self, message: str, right: Correcting, ctx: click.Context | None = None) -> None:
        super().__init__(message, ctx)
        self.right = right


def replacing(wrong: str, *right: str) -> Correcting:
    """A function that puts other words in the place of a wrong one, or behind the `=` of an
    option."""

    def replaced(words: Sequence[str]) -> list[str] | None:
        at = next(
            (n for n, word in enumerate(words) if wrong in (word, word.partition("=")[2])), None
        )
        if at is None:
            return None
        name, glued, _ = words[at].partition("=")
        new = [*right] if words[at] == wrong else [name + glued + right[0], *right[1:]]
        return [*words[:at], *new, *words[at + 1 :]]

    return replaced


def is_day(word: str) -> bool:
    """True for a word of a call that can only be a day."""
    try:
        day_named(word, date(2000, 1, 1))
    except click.BadParameter:
        return ISO_DATE.fullmatch(word) is not None
    return True


def no_such(what: str, name: str, known: Iterable[str], otherwise: str) -> click.UsageError:
    """The fault of a call that names what there is not, with the nearest name; if none is near, it
    says something else."""
    from ledger.text.near import nearest

    near = nearest(name, known)
    if near is None:
        return click.UsageError(f'there is no {what} "{name}"; {otherwise}')
    message = f'there is no {what} "{name}"; did you mean `{near}`?'
    return WrongCall(message, replacing(name, near))


def options_of(ctx: click.Context, command: click.Command) -> dict[str, click.Option]:
    """The options of a command by their names, `--help` among them."""
    return {
        name: parameter
        for parameter in command.get_params(ctx)
        if isinstance(parameter, click.Option)
        for name in parameter.opts
    }


def refuse_doubtful(command: click.Command, words: Sequence[str], parent: click.Context) -> None:
    """End with exit 2 for an empty word, a flag with a value, an option without one or with
    another option as its value, and an option with two different values.

    Click would take an empty word for the current folder, the next option for a value, and the
    last of two values.
    """
    ctx = click.Context(command, parent, command.name)
    options = options_of(ctx, command)
    given: dict[str, str] = {}
    rest = iter(words)
    for word in rest:
        if word == "--":
            return
        if not word:
            raise WrongCall('a word of the call is empty: ""', _without_empty, ctx)
        name, glued, value = word.partition("=")
        option = options.get(name)
        # `[WORD]`: the option may stand without a value.
        if option is None or (option.metavar or "").startswith("["):
            continue
        if option.is_flag and glued:
            raise click.BadOptionUsage(name, f"{name} takes no value", ctx)
        if option.is_flag:
            continue
        found = value if glued else next(rest, None)
        if found is None or (not glued and found in options):
            raise click.BadOptionUsage(name, f"{name} needs a value", ctx)
        if not option.multiple and given.setdefault(name, found) != found:
            last = partial(_without_first, option=name)
            raise WrongCall(f"{name} stands twice; which one is meant?", last, ctx)


def _without_empty(words: Sequence[str]) -> list[str]:
    return [word for word in words if word]


def _without_first(words: Sequence[str], option: str) -> list[str] | None:
    """The words without the first of the places at which an option stands."""
    for at, word in enumerate(words):
        if word == option:
            return [*words[:at], *words[at + 2 :]]
        if word.startswith(f"{option}="):
            return [*words[:at], *words[at + 1 :]]
    return None

"""Next words: what may stand in place of the last word of a call.

What a parameter takes is told by the word that the help has for it: `PERSON`, `CHORE`, `DAY`.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from click.shell_completion import CompletionItem

from ledger.cli.days import DAY_WORDS, NEAR_DAYS
from ledger.cli.faults import options_of

if TYPE_CHECKING:
    from ledger.household.called import Titled
    from ledger.household.model import Household

FILE = "file"
"""The type of an item where a shell is to complete the name of a file itself."""
_RECORD = re.compile(r"^[0-9].*\n?", re.MULTILINE)


def next_words(root: click.Context, words: Sequence[str]) -> list[CompletionItem]:
    """The words that may stand in place of the last one of a call, or one of the type `FILE`. May
    raise what a command raises for a book that cannot be read."""
    *given, begun = words
    ctx = root
    while isinstance(group := ctx.command, click.Group):
        if not given:
            return group.shell_complete(ctx, begun)
        name, *given = given
        found = group.get_command(ctx, name)
        if found is None:
            return []
        ctx = click.Context(found, ctx, name)
    command = ctx.command
    options = options_of(ctx, command)
    option, glued, value = begun.partition("=")
    head = option + glued if glued and option in options else ""
    if not head and given and _takes_value(options.get(given[-1])):
        option, value = given.pop(), begun
    elif not head:
        option, value = "", begun
    ctx = command.make_context(ctx.info_name, given, ctx.parent, resilient_parsing=True)
    parameter = options[option] if option else _next_argument(ctx)
    if not option and (begun.startswith("-") or parameter is None):
        return command.shell_complete(ctx, begun)
    assert parameter is not None
    if parameter.multiple and "," in value:
        first, comma, value = value.rpartition(",")
        head += first + comma
    return [
        CompletionItem(head + str(item.value), item.type, item.help)
        for item in _values(ctx, parameter)
        if item.type == FILE or str(item.value).casefold().startswith(value.casefold())
    ]


def _takes_value(option: click.Option | None) -> bool:
    """True for an option whose next word is its value; `[WORD]` may be left out."""
    return option is not None and not option.is_flag and (option.metavar or "")[:1] != "["


def _next_argument(ctx: click.Context) -> click.Argument | None:
    """The argument that the next word is for; None where the call has all it can have."""
    for parameter in ctx.command.params:
        if isinstance(parameter, click.Argument) and (
            parameter.nargs < 0 or ctx.params.get(parameter.name or "") is None
        ):
            return parameter
    return None


def _values(ctx: click.Context, parameter: click.Parameter) -> Iterator[CompletionItem]:
    """All that a parameter may be, by its type if that knows, else by its word in the help."""
    known = parameter.type.shell_complete(ctx, parameter, "")
    yield from known
    books: list[Household] = []
    for kind in [] if known else _kinds(ctx, parameter):
        if kind in _FILES:
            yield CompletionItem("", FILE)
        elif kind in _KNOWN:
            yield from _items(_KNOWN[kind]())
        elif kind in _OF_BOOK:
            books = books or [_household(ctx.params)]
            yield from _items(_OF_BOOK[kind](books[0]))


def _kinds(ctx: click.Context, parameter: click.Parameter) -> list[str]:
    """What the help calls the values that may stand at the next place of a parameter.

    Of `CHORE DAY` the place decides; where `...` follows, they may stand at every place.
    """
    text = parameter.metavar or (parameter.name or "").upper()
    parts = text.split()
    if parameter.nargs < 0 and not text.endswith("..."):
        place = len(ctx.params.get(parameter.name or "") or ())
        parts = [parts[min(place, len(parts) - 1)]]
    return re.findall("[A-Z]+", " ".join(parts))


def _household(given: Mapping[str, Any]) -> Household:
    """The household of the book that a call names, or would find. The lines of its record name
    nothing that the rest does not, and are left out."""
    from ledger.cli.common import default_book
    from ledger.homes import find_homes
    from ledger.workspace import read_sources

    named = given.get("paths") or filter(None, [given.get("book")])
    paths = [Path(os.path.expandvars(path)).expanduser() for path in named]
    (home,) = find_homes(paths or [default_book()])
    routine = (replace(source, text=_RECORD.sub("", source.text)) for source in home.sources)
    return read_sources(routine).household


def _items(known: Iterable[tuple[str, str]]) -> Iterator[CompletionItem]:
    return (CompletionItem(name, help=about or None) for name, about in known)


def _titles(named: Mapping[str, Titled]) -> Iterator[tuple[str, str]]:
    from ledger.household.names import own_title

    return ((name, own_title(name, one.title) or "") for name, one in named.items())


def _containers(household: Household) -> Iterator[tuple[str, str]]:
    """The containers, each with its cadence where its title is another."""
    from ledger.household.cadence import containers
    from ledger.text.cadences import write_cadence

    for title, box in containers(household.sections).items():
        cadence = write_cadence(box.sections[0].cadence)
        yield title, cadence if cadence != title else ""


def _days_to_come() -> Iterator[tuple[str, str]]:
    return ((word, "") for word in DAY_WORDS if NEAR_DAYS.get(word, 0) >= 0)


def _pages() -> Iterator[tuple[str, str]]:
    from ledger.render.paper.measures import PAGES

    return ((name, str(size)) for name, size in PAGES.items())


def _layouts() -> Iterable[tuple[str, str]]:
    from ledger.render.paper.layouts import names

    return ((name, "") for name in names())


def _rules() -> Iterable[tuple[str, str]]:
    from ledger.lint.rule_titles import rule_titles

    return rule_titles().items()


def _things() -> Iterator[tuple[str, str]]:
    from ledger.cli.explain import CAUTIONS
    from ledger.household.things import known_things

    yield CAUTIONS, "all of them"
    yield from ((thing, "what to mind with it") for thing in sorted(known_things()))


_FILES = {"OLD", "NEW"}
"""Versions of a book: files, folders, or revisions of git."""

_KNOWN: dict[str, Callable[[], Iterable[tuple[str, str]]]] = {
    "DAY": _days_to_come,
    "LAYOUT": _layouts,
    "PAGE": _pages,
    "RULE": _rules,
    "THING": _things,
}
"""Words that no book has to be read for, each with what a shell may show beside it."""

_OF_BOOK: dict[str, Callable[[Household], Iterable[tuple[str, str]]]] = {
    "AREA": lambda household: _titles(household.areas),
    "CHORE": lambda household: _titles(household.chores),
    "CONTAINER": _containers,
    "DAYS": lambda household: _titles(household.named_days),
    "PERSON": lambda household: _titles(household.people),
}
"""Names that the book gives, each with its title."""

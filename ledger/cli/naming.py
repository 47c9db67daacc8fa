"""Naming: which chore, person or area the words of a call mean."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence

import click

from ledger.cli.faults import WrongCall, replacing
from ledger.household.called import Called, Titled
from ledger.text.words import listed

ME = "BESOM_ME"
"""The variable that says who is at the keyboard."""
_MOST_SHOWN, _MOST_KNOWN = 8, 12


def resolved_name(what: str, name: str | None, names: Mapping[str, Titled]) -> str | None:
    """The household's name for what a call names. If it fits none or several, ends with exit 2 and
    the nearest name, or with those that it fits."""
    return None if name is None else the_one(what, name, Called(names))


def the_one(what: str, text: str, called: Called, origin: str = "") -> str:
    """The one name that a text means; `origin` says where an unusual text stands. Ends with exit 2
    if it fits none or several."""
    found = called.fitting(text)
    if len(found) != 1:
        raise misnamed(what, text, found, called, origin)
    return found[0]


def misnamed(
    what: str, text: str, found: Sequence[str], called: Called, origin: str = ""
) -> click.UsageError:
    """The fault of a text that fits none or several names."""
    if found:
        choices = listed(called.shown(found), _MOST_SHOWN)
        return click.UsageError(
            f'{origin}"{text}" may be {choices}; write one of these names, or more of its words'
        )
    near, known = called.nearest(text), called.known
    if near:
        said = f'{origin}there is no {what} "{text}"; did you mean `{near}`?'
        return WrongCall(said, replacing(text, near))
    there = f"there are {listed(list(known), _MOST_KNOWN)}" if known else f"the book has no {what}"
    return click.UsageError(f'{origin}there is no {what} "{text}"; {there}')


def named(what: str, texts: Sequence[str], called: Called) -> tuple[str, ...]:
    """The names that an option gives, once or more often and with commas between them, each once.
    Ends with exit 2 for one that fits none or several."""
    parts = [
        part.strip()
        for text in texts
        for part in ([text] if called.exactly(text) else text.split(","))
    ]
    return tuple(dict.fromkeys(the_one(what, part, called) for part in parts if part))


def people_named(texts: Sequence[str], people: Mapping[str, Titled]) -> tuple[str, ...]:
    """Who did it: the people after `--by`, else who `BESOM_ME` names, if the book has people.

    Ends with exit 2 for a name that fits none or several.
    """
    called = Called(people)
    if texts:
        return named("person", texts, called)
    me = os.environ.get(ME, "").strip()
    return (the_one("person", me, called, f"{ME}: "),) if me and people else ()


def check_name(name: str, keyword: str = "") -> None:
    """End with exit 2 if no book can call something so: days, or what the keyword declares."""
    from ledger.text.classes import is_name

    if is_name(name, keyword):
        return
    if is_name(name):
        raise click.UsageError(
            f'no {keyword} can be called "{name}": a book has its own use for it'
        )
    better = "-".join(name.split())
    advice = f", such as {better}" if is_name(better, keyword) else ""
    raise click.UsageError(
        f'"{name}" cannot be a name: write a letter, then letters, digits and hyphens{advice}'
    )

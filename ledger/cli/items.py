"""Items: the chores and minutes that the words of a call name."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

import click

from ledger.cli.days import day_named
from ledger.cli.faults import WrongCall, replacing
from ledger.cli.naming import misnamed
from ledger.household.called import Called
from ledger.text.amount import amount_text, may_be_part

_OPTIONS = {
    "by": "who did it goes after --by: `--by NAME`",
    "but": "what was not done of a container goes after --but: `--but NAME`",
}
_BREAK = ","
"""Stands between words that do not belong to one name."""


class Item(NamedTuple):
    """A chore, and how long it took; or a container."""

    name: str
    minutes: str = ""
    """As a line of the record writes it; empty where the call gives none."""
    is_container: bool = False

    @property
    def text(self) -> str:
        """The item as a line of the record writes it."""
        return f"{self.name} {self.minutes}".rstrip()


class Known(NamedTuple):
    """What the words of a call may name."""

    chores: Called
    people: Called
    containers: Called = Called({})
    """None of them where the command takes no containers."""
    titled: Called = Called({})
    """Those with a title, whose beginning will do."""

    def are(self, text: str) -> bool:
        """True if a text is a name or a title, whatever the capitals."""
        return bool(self.chores.exactly(text) or self.containers.exactly(text))


def items_named(words: Sequence[str], known: Known, today: date) -> list[Item]:
    """The items that the words of a call name: each chore, or container, by the longest run of
    words that fits, and the minutes behind it. Ends with exit 2 if a word fits nothing, or
    several."""
    tokens = _tokens(words, known)
    items: list[Item] = []
    at = 0
    while at < len(tokens):
        if tokens[at] == _BREAK:
            at += 1
            continue
        end = _end_of_minutes(tokens, at)
        if end == at or tokens[at] in known.chores.known:
            item, at = _item(tokens, at, known, today)
            items.append(item)
        elif not items:
            raise click.UsageError("name the chore first, then its minutes: `oven 35`")
        elif items[-1].minutes:
            raise click.UsageError(
                f'"{items[-1].text} {" ".join(tokens[at:end])}" gives two times for one chore; '
                "write one, such as 12, 15 min or 1h30"
            )
        elif items[-1].is_container:
            raise click.UsageError("minutes belong to one chore; write them behind its name")
        else:
            items[-1] = items[-1]._replace(minutes=_minutes(tokens[at:end]))
            at = end
    if not items:
        raise click.UsageError("name what was done: `oven`, or `oven 35` with its minutes")
    return items


def _tokens(words: Sequence[str], known: Known) -> list[str]:
    """The words one by one, with breaks where a comma or the end of a quoted argument stands. What
    is a title as a whole stays one word."""
    tokens: list[str] = []
    for word in words:
        parts = [word] if known.are(word) else word.split(_BREAK)
        for number, part in enumerate(parts):
            split = [part] if known.are(part) else part.split()
            edge = [_BREAK] if number or len(split) > 1 else []
            tokens += [*edge, *split, *([_BREAK] if len(split) > 1 else [])]
    return tokens


def _end_of_minutes(tokens: Sequence[str], at: int) -> int:
    """Where minutes that begin with a word end; the same place if the word is none."""
    end = at
    while end < len(tokens) and may_be_part(tokens[end]):
        end += 1
    return end if _is_number(tokens[at]) else at


def _minutes(tokens: Sequence[str]) -> str:
    """Minutes as a line of the record writes them. Ends with exit 2 for what is unclear."""
    text = " ".join(tokens)
    amount = amount_text(text)
    if amount is None:
        raise _unclear(text)
    return amount


def _unclear(text: str) -> click.UsageError:
    return click.UsageError(
        f'"{text}" is no clear time; write minutes such as 12 or 15min, or hours such as 1h or 1h30'
    )


def _item(tokens: Sequence[str], at: int, known: Known, today: date) -> tuple[Item, int]:
    """What the longest run of words from a place on fits, and where the run ends."""
    chores, containers = known.chores, known.containers
    word = tokens[at].casefold()
    if word in _OPTIONS and word not in chores.known:
        raise WrongCall(_OPTIONS[word], replacing(tokens[at], f"--{word}"))
    stop = tokens.index(_BREAK, at) if _BREAK in tokens[at:] else len(tokens)
    longest = min(stop, at + max(1, chores.most_words, containers.most_words))
    for end in range(longest, at, -1):
        text = " ".join(tokens[at:end])
        if item := _meant(text, known, _may_be_one(tokens[at:end], text, chores)):
            return item, end
    raise _stranger(tokens[at:stop], known, today)


def _meant(text: str, known: Known, may_be_chore: bool) -> Item | None:
    """The chore or the container that a text means, or None. What each is called to the letter
    comes before all else that fits. Ends with exit 2 if the text fits several."""
    chores, containers = known.chores, known.containers
    if not chores.exactly(text) and len(exact := containers.exactly(text)) == 1:
        return Item(exact[0], is_container=True)
    fitting = chores.fitting(text) if may_be_chore else []
    begun = [] if chores.exactly(text) else known.titled.begun(text)
    if len(fitting) + len(begun) > 1:
        choices = Called({**containers.known, **chores.known})
        raise misnamed("chore", text, [*fitting, *begun], choices)
    if fitting:
        return Item(fitting[0])
    return Item(begun[0], is_container=True) if begun else None


def _may_be_one(run: Sequence[str], text: str, chores: Called) -> bool:
    """False for a run of words that names several chores, or a chore and its minutes."""
    if len(run) == 1:
        return True
    if chores.exactly(text):
        return not all(word in chores.known for word in run)
    return run[0] not in chores.known and not any(map(may_be_part, run))


def _stranger(words: Sequence[str], known: Known, today: date) -> click.UsageError:
    """The fault of words that begin no chore: they say who, how long or when, or are misspelt."""
    called = known.chores
    if person := known.people.exactly(words[0]):
        return click.UsageError(f"who did it goes after --by: `--by {person[0]}`")
    ends = (n for n, word in enumerate(words) if n and (word in called.known or _is_number(word)))
    text = " ".join(words[: next(ends, len(words))])
    for said in (" ".join(words).removeprefix("on "), text):
        try:
            day_named(said, today)
        except click.BadParameter:
            continue
        shown = f"'{said}'" if " " in said else said
        return WrongCall(f"the day goes after --on: `--on {shown}`", replacing(said, "--on", said))
    return _unclear(text) if _is_number(text) else misnamed("chore", text, [], called)


def _is_number(word: str) -> bool:
    return word[:1].isdecimal()

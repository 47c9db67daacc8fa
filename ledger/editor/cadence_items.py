"""Cadences as completion items: the word that could come next, with what the header would mean."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from lsprotocol import types as lsp

from ledger.editor.completion_items import CompletionItem
from ledger.text.cadence_meaning import meaning
from ledger.text.cadences import shortest_period, write_cadence
from ledger.text.parts import Cadence
from ledger.text.values import DAYS, LAST, MONTHS, ORDINALS

_LIST_OF_WEEKENDS = re.compile(r"(?<=weekend )(?!is ).*,$")
_FEW, _QUARTER = 2, 3
"""The N of `every N days` and `weeks`, and of `months`, that are offered first."""


def cadence_items(text: str, weekend: Sequence[int]) -> Iterator[CompletionItem]:
    """What can come next in a cadence that a header, or a line of named days, has begun."""
    begun, is_header = " ".join(text.split()), not text.startswith("days")
    if not is_header:
        begun = " ".join(begun.split()[2:])
    if not begun:
        return
    begun = _LIST_OF_WEEKENDS.sub("", begun).rstrip()
    offered = set[str]()
    for cadence in _cadences(begun):
        words = write_cadence(cadence)
        rest = words.removeprefix(f"{begun} ")
        # A number alone would say nothing: `2 weeks` is offered in one piece.
        word = rest if rest[0].isdigit() else rest.split()[0]
        if rest != words and word not in offered:
            offered.add(word)
            is_named = word in DAYS or word in MONTHS
            kind = lsp.CompletionItemKind.EnumMember if is_named else lsp.CompletionItemKind.Keyword
            # Named days have no windows: all of the days are meant.
            yield CompletionItem(word, meaning(cadence, weekend) if is_header else None, kind)


def _cadences(begun: str) -> Iterator[Cadence]:
    """Cadences of every kind, with the numbers that a header names so far."""
    numbers = [int(word) for word in begun.split() if word.isdecimal()]
    times = numbers.pop(0) if "times" in begun else 1
    every = numbers[0] if numbers else _FEW
    months = [Cadence("named-month", months=(number,)) for number in range(1, len(MONTHS) + 1)]
    counted_months = Cadence("month", numbers[0] if numbers else _QUARTER)
    parted = [Cadence("week"), Cadence("month"), *months, Cadence("week", every), counted_months]
    yield from (Cadence("day"), Cadence("weekend"), Cadence("weekday"), *parted[:2])
    yield from (Cadence("named-day", days=(day,)) for day in range(len(DAYS)))
    yield from months
    yield from (Cadence("day", every), *parted[-2:], Cadence("after-done", every))
    for number in (LAST, *range(1, len(ORDINALS) + 1)):
        yield Cadence("numbered-weekend", weekends=(number,))
    # Of a number alone nobody knows yet what it counts.
    parts = every if begun.isdecimal() else times
    for cadence in parted:
        if 1 < parts <= shortest_period(cadence):
            yield cadence._replace(times=parts)

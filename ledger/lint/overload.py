"""Overload: spans of days with more minutes than fit them, and one finding for all alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from ledger.calendar.week import weekday
from ledger.lint.book import LintedBook, days_from
from ledger.planning.load import Demand, Overload, overloads
from ledger.text.words import duration, listed


class OverloadWords(NamedTuple):
    """What one finding says about spans alike."""

    first: Overload
    """The first of them."""
    message: str
    why: str
    excess: str
    """By how much the worst of them is over."""


def overload_words(
    book: LintedBook,
    demands: Sequence[Demand],
    limits: Sequence[int | None],
    asks: tuple[str, str] = ("asks", "ask"),
) -> Iterable[OverloadWords]:
    """What to say about the spans of the days ahead that do not fit, once for spans alike.

    Spans are alike if they are equally long and begin on the same weekday. `asks` is the verb for
    one day and the verb for several, each with the person asked, if there is one.
    """
    kinds: dict[tuple[int, int], list[Overload]] = {}
    for overload in overloads(demands, limits, book.today):
        kind = overload.last - overload.first, weekday(overload.first)
        kinds.setdefault(kind, []).append(overload)
    return [_words(alike, demands, asks) for alike in kinds.values()]


def _words(
    alike: list[Overload], demands: Sequence[Demand], asks: tuple[str, str]
) -> OverloadWords:
    first = alike[0]
    worst = max(alike, key=lambda overload: overload.minutes - overload.limit)
    excess = duration(worst.minutes - worst.limit)
    verb = asks[first.first != first.last]
    message = (
        f"{days_from(first.first, first.last)} {verb} for {duration(first.minutes)}, of "
        f"{duration(first.limit)}"
    )
    if len(alike) > 1:
        message += f"; {len(alike) - 1} more like it in the year ahead"
    shares: dict[str, int] = {}
    for demand in demands:
        if worst.first <= demand.first and demand.last <= worst.last:
            shares[demand.label] = shares.get(demand.label, 0) + demand.minutes
    heaviest = sorted(shares, key=lambda name: -shares[name])
    parts = listed([f"{name} {shares[name]} min" for name in heaviest], 5)
    at_worst = "" if worst is first else f"at worst {days_from(worst.first, worst.last)}: "
    why = f"{at_worst}{excess} will be left undone; the longest are {parts}"
    return OverloadWords(first, message, why, excess)

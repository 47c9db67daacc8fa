"""What cadences mean, in a few plain words: what an editor says beside them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import assert_never

from ledger.text.parts import Cadence
from ledger.text.values import DAYS, LAST, MONTHS, ORDINALS
from ledger.text.words import days_text


def meaning(cadence: Cadence, weekend: Sequence[int]) -> str:
    """What a cadence asks for; `weekend` is the days of a weekend, 0 is Monday, in a row."""
    if cadence.times > 1:
        return f"once in each of {cadence.times} parts of {_period(cadence)}"
    match cadence.kind:
        case "day":
            return "each day anew" if cadence.every == 1 else _one_in(cadence)
        case "weekday":
            return "each day outside the weekend, anew"
        case "weekend":
            return f"the whole weekend{_left_over(weekend)}"
        case "numbered-weekend":
            return _numbered(cadence.weekends)
        case "named-day":
            return f"each {_days(cadence.days)}"
        case "week" if cadence.days:
            return f"{_days(cadence.days)} of {_one_in(cadence)}"
        case "week" | "month" if cadence.every == 1 and not cadence.on:
            return f"once a {cadence.kind}, on any day of it"
        case "week" | "month":
            return f"on {'those days' if cadence.on else 'any day'} of {_one_in(cadence)}"
        case "named-month" if cadence.on:
            return f"on those days of {_months(cadence.months)}"
        case "named-month":
            each = "each of " if len(cadence.months) > 1 else ""
            return f"once in {each}{_months(cadence.months)}, on any day of it"
        case "after-done":
            return f"{days_text(cadence.every)} after it was last done or skipped"
        case "once":
            return "once, on any of these days"
    assert_never(cadence.kind)


def _one_in(cadence: Cadence) -> str:
    """`each month`, or ``one month in 3, counted from `from` ``."""
    unit, every = cadence.kind, cadence.every
    return f"each {unit}" if every == 1 else f"one {unit} in {every}, counted from `from`"


def _period(cadence: Cadence) -> str:
    """What `N times` parts."""
    if cadence.months:
        return f"each {_months(cadence.months)}"
    return f"the {cadence.kind}" if cadence.every == 1 else f"each {cadence.every} {cadence.kind}s"


def _numbered(numbers: Sequence[int]) -> str:
    names = _and("last" if number == LAST else ORDINALS[number - 1] for number in numbers)
    rare = "; some months have only four" if names == ORDINALS[-1] else ""
    return f"the {names} weekend of the month{rare}"


def _left_over(weekend: Sequence[int]) -> str:
    """What the first day of the weekend leaves to the next."""
    if len(weekend) == 1:
        return ""
    next_has = f"{_days(weekend[1:])} has" if len(weekend) == 2 else "the days after it have"
    return f": what {_days(weekend[:1])} leaves, {next_has}"


def _days(numbers: Iterable[int]) -> str:
    return _and(DAYS[number].title() for number in numbers)


def _months(numbers: Iterable[int]) -> str:
    return _and(MONTHS[number - 1].title() for number in numbers)


def _and(words: Iterable[str]) -> str:
    """`Tuesday, Thursday and Friday`."""
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last

"""Near misses of dates: `tomorrow`, `next monday`, `in 2 days`, words that name a day from another
day."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta

from ledger.text.hints.misread import Hint, Misread
from ledger.text.hints.reading import Edit
from ledger.text.hints.spans import ANOTHER_DAY
from ledger.text.hints.vocabulary import (
    DAY,
    DAYS_AHEAD,
    NUMBER,
    any_of,
    day_name,
    matched,
    number_in,
    small,
)
from ledger.text.values import DAYS

_LEAD = r"(?:(?:on|to|the|this|next|coming|following|in) )*"

_Ahead = Callable[[re.Match[str], date], int]


def _until_day(day: str, base: date) -> int:
    """The days until the next such day of the week, at least one."""
    return (DAYS.index(day) - base.weekday() - 1) % 7 + 1


def _until_number(match: re.Match[str], base: date) -> int:
    """The days until the next day of a month with this number; 0 where there is none soon."""
    number = int(match["n"])
    ahead = (n for n in range(1, 62) if (base + timedelta(days=n)).day == number)
    return next(ahead, 0)


def _so_many(match: re.Match[str], _base: date) -> int:
    return number_in(match["n"]) * (7 if small(match["unit"]) == "week" else 1)


_RELATIVE: tuple[tuple[str, _Ahead | int], ...] = (
    (r"(?:the )?day after tomorrow", 2),
    (r"(?:the )?(?:next|following) day|(?:the )?day after", 1),
    (
        rf"(?P<word>{any_of(DAYS_AHEAD)})(?: (?:morning|night|evening|afternoon))?",
        lambda match, _base: DAYS_AHEAD[small(match["word"])],
    ),
    (rf"{_LEAD}(?P<day>{DAY})", lambda match, base: _until_day(day_name(match["day"]), base)),
    (
        r"(?:(?:on|the|this|next|coming) )*weekend",
        lambda _match, base: _until_day("saturday", base),
    ),
    (r"(?:(?:the|in) )*(?:next|following) week", 7),
    (
        rf"(?:(?:in|by|for|after) )*\+?(?P<n>{NUMBER}) (?P<unit>day|week)s?"
        r"(?: (?:later|on|further))?",
        _so_many,
    ),
    (r"(?:the )?(?P<n>[0-9]{1,2})(?:st|nd|rd|th|\.)?", _until_number),
)
"""Words for a day, and how many days it lies after the day on which they are said."""


def day_said(text: str, begin: int, end: int, base: str) -> tuple[int, str] | None:
    """The end of the words that name a day, said on another day, and the day; None where there are
    none."""
    for pattern, ahead in _RELATIVE:
        match = matched(pattern)(text, begin, end)
        if match is not None:
            on = date.fromisoformat(base)
            days = ahead if isinstance(ahead, int) else ahead(match, on)
            try:
                return match.end(), str(on + timedelta(days=days))
            except OverflowError:
                return None
    return None


def relative_date(miss: Misread) -> Hint | None:
    """`tomorrow`, `next monday` or the like in place of a date, behind the date of the line."""
    if not miss.wants("DATE") or miss.ended or miss.start != "record_line" or not miss.own_date:
        return None
    said = day_said(miss.text, miss.at, miss.body, miss.own_date)
    if said is None:
        return None
    end, day = said
    message = ANOTHER_DAY.format(miss.text[miss.at : end])
    return Hint(message, "write its date: {}", (Edit(miss.at, end, day),), end)

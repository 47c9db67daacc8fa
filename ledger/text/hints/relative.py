"""Near misses of dates: `tomorrow`, `next monday`, `in 2 days`, words that name a day from another
day."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta

from ledger.text.hints.misread import Edit, Hint, Misread
from ledger.text.hints.spans import ANOTHER_DAY
from ledger.text.hints.vocabulary import DAY, NUMBER, day_name, first_read, number_in, small
from ledger.text.values import DAYS

_NAMED = r"today|tonight|now|tomorrow|yesterday"
_LEAD = r"(?:(?:on|to|the|this|next|coming|following|in) )*"
_AHEAD = {"today": 0, "tonight": 0, "now": 0, "tomorrow": 1, "yesterday": -1}

_Later = Callable[[re.Match[str], date], int]


def _until_day(day: str, base: date) -> int:
    """The days until the next such day of the week, at least one."""
    return (DAYS.index(day) - base.weekday() - 1) % 7 + 1


def _until_number(match: re.Match[str], base: date) -> int:
    """The days until the next day of a month with this number; 0 where there is none soon."""
    number = int(match["n"])
    ahead = (n for n in range(1, 62) if (base + timedelta(days=n)).day == number)
    return next(ahead, 0)


def _so_many(match: re.Match[str], base: date) -> int:
    return number_in(match["n"]) * (7 if small(match["unit"]) == "week" else 1)


_RELATIVE: tuple[tuple[str, _Later], ...] = (
    (r"(?:the )?day after tomorrow", lambda match, base: 2),
    (r"(?:the )?(?:next|following) day|(?:the )?day after", lambda match, base: 1),
    (
        rf"(?P<day>{_NAMED})(?: (?:morning|night|evening|afternoon))?",
        lambda match, base: _AHEAD[small(match["day"])],
    ),
    (rf"{_LEAD}(?P<day>{DAY})", lambda match, base: _until_day(day_name(match["day"]), base)),
    (r"(?:(?:on|the|this|next|coming) )*weekend", lambda match, base: _until_day("saturday", base)),
    (r"(?:(?:the|in) )*(?:next|following) week", lambda match, base: 7),
    (
        rf"(?:(?:in|by|for|after) )*\+?(?P<n>{NUMBER}) (?P<unit>day|week)s?"
        r"(?: (?:later|on|further))?",
        _so_many,
    ),
    (r"(?:the )?(?P<n>[0-9]{1,2})(?:st|nd|rd|th|\.)?", _until_number),
)
"""Words for a day, and how many days it lies after the day from which they are meant."""


def _rows(base: date) -> list[tuple[str, Callable[[re.Match[str]], str | None]]]:
    return [
        (pattern, lambda match, later=later: _later(later(match, base), base))
        for pattern, later in _RELATIVE
    ]


def _later(days: int, base: date) -> str | None:
    try:
        return str(base + timedelta(days=days))
    except OverflowError:
        return None


def relative_date(miss: Misread) -> Hint | None:
    """`tomorrow`, `next monday` or the like in place of a date, behind the date of the line."""
    if not miss.wants("DATE") or miss.ended or miss.start != "record_line" or not miss.own_date:
        return None
    rows = _rows(date.fromisoformat(miss.own_date))
    reading = first_read(rows, miss.text, miss.at, miss.body)
    if reading is None or reading[1] is None:
        return None
    end, day = reading
    message = ANOTHER_DAY.format(miss.text[miss.at : end])
    return Hint(message, "write its date: {}", (Edit(miss.at, end, day),), end)

"""Near misses of dates: `tomorrow`, `next monday`, `in 2 days`, words that name a day from another
day."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta

from ledger.text.hints.misread import Edit, Hint, Misread
from ledger.text.hints.vocabulary import DAY, NUMBER, Pattern, day_name, first_read, number_in, small
from ledger.text.values import DAYS

_NAMED = r"today|tonight|now|tomorrow|yesterday"
_WORDS = Pattern(rf"(?:(?:next|last|this) )?(?:{_NAMED}|{DAY})(?![^\s,#\"])", re.IGNORECASE)
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


def day_meant(words: str, base: str) -> str | None:
    """The day that some words mean, said on another day; None where they mean none."""
    reading = first_read(_rows(date.fromisoformat(base)), words, 0, len(words))
    return reading[1] if reading is not None and reading[0] == len(words) else None


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


def no_date(miss: Misread) -> Hint | None:
    """`today`, `tomorrow`, a day of the week or the like in place of a date."""
    if "DATE" not in miss.expected or miss.ended or miss.at == miss.margin:
        return None
    base = miss.own_date or miss.date
    if "NAME" in miss.expected:
        match = _WORDS.match(miss.text, miss.at, miss.body)
        reading = (match.end(), day_meant(match[0], base)) if match else None
    else:
        reading = first_read(_rows(date.fromisoformat(base)), miss.text, miss.at, miss.body)
    if reading is None or reading[1] is None:
        return None
    end, day = reading
    message = f'"{miss.text[miss.at : end]}" names another day each time it is read'
    fix = "write its date: {}" if miss.own_date else "write its date, such as {}"
    edit = Edit(miss.at, end, day)
    return Hint(message, fix, (edit,), end, is_example=not miss.own_date)

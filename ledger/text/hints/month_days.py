"""Near misses of the days of a month: `the 15th`, `monday after 15`, a day without `on`."""

from __future__ import annotations

from ledger.text.hints.slips import ANY_WORD, LEAVE_OUT, SAYS, Slip, Words
from ledger.text.hints.vocabulary import (
    DAY,
    DAY_OF_MONTH,
    IN_MONTH,
    NTH,
    OF_MONTH,
    any_of,
    day_name,
    number_in,
    small,
)
from ledger.text.values import ORDINALS

_ENDS = {"last": "last", "end": "last", "middle": "15", "start": "1", "beginning": "1"}
_NOT_PLAIN = 'a day of the month is a plain number, not "{wrong}"'


def _unless_same(right: str, words: Words) -> str | None:
    return None if right == words["wrong"] else right


def _nth_day(words: Words) -> str | None:
    """The nth day or weekday of a month: `first monday`, `1`, `last`."""
    number = number_in(words["nth"])
    if small(words["day"]) == "day":
        return str(number) if number > 0 else "last"
    nth = ORDINALS[number - 1] if number > 0 else "last"
    return _unless_same(f"{nth} {day_name(words['day'])}", words)


def _number(words: Words) -> str | None:
    number = number_in(words["n"])
    return _unless_same(str(number), words) if 1 <= number <= 31 else None


def _end_of_month(words: Words) -> str | None:
    word = small(words["end"])
    return _unless_same(_ENDS.get(word) or str(number_in(word)), words)


MONTH_DAY = (
    Slip(
        "DAY",
        None,
        (lambda words: str(number_in(words["old"])), "{old} monday"),
        "`{old}` wants a day of the week behind it",
        "write {} for the day of the month, or {}",
        before=rf"(?P<old>{any_of(ORDINALS)})",
        whole=True,
    ),
    Slip(
        "WITHIN DURING",
        rf"(?:days?|date|{IN_MONTH})",
        "",
        '"{wrong}" says nothing here that "{last}" does not',
        LEAVE_OUT,
        before=r"\bon (?:.*[\t\x20])?(?P<last>\S+) *",
        unless="ORDINAL",
        joins=True,
        whole=True,
    ),
    Slip(
        "ORDINAL",
        rf"(?:the )?(?P<nth>{NTH}|[1-5](?:st|nd|rd|th)) (?P<day>{DAY}|day){OF_MONTH}",
        _nth_day,
        SAYS,
    ),
    Slip(
        "ORDINAL",
        rf"(?:(?:the|day|date) )*(?P<n>{DAY_OF_MONTH})(?: (?:day|date))?{OF_MONTH}",
        _number,
        _NOT_PLAIN,
    ),
    Slip(
        "ORDINAL",
        rf"(?:the )?(?P<end>{any_of((*_ENDS, *ORDINALS))})(?: day)?{OF_MONTH}",
        _end_of_month,
        SAYS,
    ),
    Slip(
        "ORDINAL",
        rf"(?:the )?(?P<day>{DAY})",
        lambda words: _unless_same(day_name(words["day"]), words),
        SAYS,
    ),
)
"""`the 15th`, `1st monday`, `last day` for a day of the month, and needless words after one."""

MISSING_ON = Slip(
    "ON",
    rf"(?=(?:the )?(?:[0-9]{{1,2}}(?![0-9])|{any_of(ORDINALS)}|last|{DAY}(?![^\s,])))"
    rf"(?P<first>{ANY_WORD})",
    "on ",
    '`on` is missing before "{first}"',
    adds=True,
    whole=True,
)
"""A day of the month or of the week after `every month` without `on`."""


def _weeks_before(words: Words) -> int:
    """How many whole weeks of a month are over, most nearly, after one of its days."""
    return (int(words["n"]) + 3) // 7


def _nearest_nth(words: Words) -> str | None:
    """The weekday of a month that comes after one of its days, or nearest to that."""
    number = _weeks_before(words)
    return f"{ORDINALS[number]} {day_name(words['day'])}" if number <= 3 else None


def _its_days(words: Words) -> str:
    first = _weeks_before(words) * 7 + 1
    return f"{first} to {first + 6}"


AFTER_A_DAY = Slip(
    "WITHIN",
    r"after (?:the )?(?P<n>[0-9]{1,2})(?:st|nd|rd|th|\.)?",
    _nearest_nth,
    lambda words: (
        SAYS.format(**words)
        if int(words["n"]) % 7 == 0
        else f'no cadence says "{words["day"]} after {words["n"]}" exactly'
    ),
    lambda words: (
        "write {}"
        if int(words["n"]) % 7 == 0
        else f"write the nearest, {{}}, which comes on {_its_days(words)}"
    ),
    before=rf"\Aevery (?:[0-9]+ )?months? on (?:the )?(?P<old>(?P<day>{DAY}) )",
    whole=True,
)
"""`every month on monday after 15`."""

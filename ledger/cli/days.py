"""Days: which day the words of a call mean."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime
from typing import TYPE_CHECKING, NoReturn, TypeVar

import click
from click.types import StringParamType

from ledger.text.values import DAY_NUMBERS, DAYS, FIRST_YEAR, MONTH_NUMBERS, MONTHS

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from ledger.household.model import Household

F = TypeVar("F", bound=Callable[..., None])

ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
NEAR_DAYS = {"today": 0, "tomorrow": 1, "yesterday": -1}
"""How many days from today each lies."""
DAY_WORDS = (*NEAR_DAYS, *DAYS)
"""The plain words for a day."""
_WEEKDAY = re.compile(r"(?:(last|next)\s+)?([a-z]+)")
_COUNT = r"([0-9]{1,4}|an?|one)\s+(day|week|month|year)s?"
_STEPS = re.compile(rf"in\s+{_COUNT}|{_COUNT}\s+ago")
_NUMBERS = re.compile(
    r"(?P<first>[0-9]{1,2})(?P<mark>[./])(?P<second>[0-9]{1,2})(?:\.|(?P=mark)(?P<year>[0-9]{4}))?"
)
_DAY = r"[0-9]{1,2}(?:st|nd|rd|th)?"
_MONTH = "|".join(sorted((*MONTH_NUMBERS, "sept"), key=len, reverse=True))
_NAMED = re.compile(
    rf"(?:{_DAY}\s+(?:{_MONTH})|(?:{_MONTH})\s+{_DAY}),?(?:\s+(?P<year>[0-9]{{4}}))?"
)
_LEAP_YEARS_APART = 8
"""The most years between two 29 February."""
_PARAMETER = "--on"

_SPELT = (
    "A day: 2026-03-04, today, yesterday, tomorrow, friday, sat, 'last sunday', 'next friday', "
    "'3 march', 3.3.2026, 'in 2 weeks', '2 days ago'."
)


class DayType(StringParamType):
    """A day in plain words, which a command reads when it knows what day it is."""

    def __init__(self, past: bool) -> None:
        self.past = past

    def shell_complete(
        self,
        ctx: click.Context,  # noqa: ARG002
        param: click.Parameter,  # noqa: ARG002
        incomplete: str,
    ) -> list[CompletionItem]:
        """The plain words, without those for days to come if the day must be over."""
        from click.shell_completion import CompletionItem

        words = (word for word in DAY_WORDS if not (self.past and NEAR_DAYS.get(word, 0) > 0))
        return [CompletionItem(word) for word in words if word.startswith(incomplete)]


def on_option(command: F) -> F:
    """`--on DAY`, where a day without a year, or of a name, is the next."""
    meant = "sunday is the next one, today included; so is a day without a year."
    return _option(command, meant, past=False)


def past_on_option(command: F) -> F:
    """`--on DAY`, where a day without a year, or of a name, is the last."""
    meant = "sunday is the last one, today included; so is a day without a year."
    return _option(command, meant, past=True)


def _option(command: F, meant: str, past: bool) -> F:
    return click.option(
        "--on",
        type=DayType(past),
        metavar="DAY",
        default="today",
        show_default=True,
        help=f"{_SPELT} Here {meant}",
    )(command)


def day_asked(on: str, household: Household) -> int:
    """The day that `--on` names, counted from the household's today. Raises as `day_named` does."""
    return day_named(on, date.fromordinal(household.today)).toordinal()


def day_named(text: str, today: date, past: bool = False, parameter: str = _PARAMETER) -> date:
    """The day that a text names, which stands behind `parameter` in a call.

    A day of a name or without a year is the next one, or the last one if `past` is true, today
    included. Raises click.BadParameter for a text that is no day, for one that may be two, and for
    a day that no book can hold.
    """
    word = text.strip().lower()
    try:
        day = _plain(word, today, past)
        if day is None:
            day = _read(word, today, past, parameter)
    except OverflowError:
        day = None
    except ValueError:
        _refuse(text, today, parameter)
    first, last = date(FIRST_YEAR, 1, 1), date.max
    if day is None or not first <= day <= last:
        raise click.BadParameter(
            f'"{text}" is no day of a book; those are from {first} to {last}',
            param_hint=parameter,
        )
    return day


def _refuse(text: str, today: date, parameter: str) -> NoReturn:
    raise click.BadParameter(
        f'"{text}" is no day; write a date such as {today}, or today, tomorrow, friday',
        param_hint=parameter,
    ) from None


def _plain(word: str, today: date, past: bool) -> date | None:
    """The day of a date YYYY-MM-DD or of a plain word, or None for other texts. Raises ValueError
    for a date that does not exist, and OverflowError for a day outside of the calendar."""
    if ISO_DATE.fullmatch(word):
        return date.fromisoformat(word)
    if word in NEAR_DAYS:
        return _away(today, NEAR_DAYS[word])
    named = _WEEKDAY.fullmatch(word)
    if named is None or named[2] not in DAY_NUMBERS:
        return None
    ahead = (DAY_NUMBERS[named[2]] - today.weekday()) % 7
    if named[1] == "next":
        return _away(today, ahead or 7)
    if named[1] == "last" or (past and ahead):
        return _away(today, ahead - 7)
    return _away(today, ahead)


def _away(today: date, days: int) -> date:
    day = today.toordinal() + days
    if not 1 <= day <= date.max.toordinal():
        raise OverflowError
    return date.fromordinal(day)


def _read(word: str, today: date, past: bool, parameter: str) -> date:
    """The day of a text that a library reads. Raises ValueError for one that is no day,
    OverflowError for one outside of the calendar, and click.BadParameter if it may be two."""
    if steps := _STEPS.fullmatch(word):
        return _steps(steps, today)
    if named := _NAMED.fullmatch(word):
        return _in_year(word, named["year"], today, past)
    numbers = _NUMBERS.fullmatch(word)
    if numbers is None or (numbers["mark"] == "." and int(numbers["second"]) > len(MONTHS)):
        raise ValueError(word)
    first, second, year = numbers.group("first", "second", "year")
    text = "/".join(filter(None, (first, second, year)))
    # With points the day always comes first; with strokes it depends on where one lives.
    orders = (True,) if numbers["mark"] == "." else (True, False)
    days = list(dict.fromkeys(_in_year(text, year, today, past, order) for order in orders))
    if len(days) > 1:
        one, other = (f"{day.day} {MONTHS[day.month - 1].capitalize()}" for day in days)
        raise click.BadParameter(
            f'"{word}" may be {one} or {other}; write {days[0]} or {days[1]}',
            param_hint=parameter,
        )
    return days[0]


def _steps(steps: re.Match[str], today: date) -> date:
    """The day of `in 2 weeks` or `2 days ago`."""
    from dateutil.relativedelta import relativedelta

    ahead, unit, back, back_unit = steps.groups()
    count = int(ahead or back) if (ahead or back).isdecimal() else 1
    step = {f"{unit or back_unit}s": count if ahead else -count}
    try:
        return today + relativedelta(**step)  # type: ignore[arg-type]
    except ValueError as fault:
        raise OverflowError from fault


def _in_year(text: str, year: str | None, today: date, past: bool, day_first: bool = True) -> date:
    """The day of a text with a day and a month; without a year the next, or the last if `past` is
    true. Raises ValueError if there is none."""
    from dateutil.parser import parse

    years = range(_LEAP_YEARS_APART + 1)
    for number in [int(year)] if year else [today.year + (-n if past else n) for n in years]:
        try:
            day = parse(text, dayfirst=day_first, default=datetime(number, 1, 1)).date()
        except ValueError:
            continue
        if year or (day <= today if past else day >= today):
            return day
    raise ValueError(text)

"""Words for how often something comes round, and the cadences that they can mean."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from ledger.text.hints.vocabulary import (
    AND,
    DAY,
    EVERY_OTHER,
    MONTH,
    NTH,
    NUMBER_WORD,
    NUMBERS,
    OF_MONTH,
    SEASONS,
    THROUGH,
    WORD_END,
    Pattern,
    any_of,
    day_name,
    days_in,
    month_name,
    number_in,
    small,
)
from ledger.text.values import DAYS, ORDINALS

_N = rf"(?P<n>{any_of(EVERY_OTHER)}|{NTH}|[0-9]{{1,4}}(?:st|nd|rd|th|\.)?|{NUMBER_WORD})"
_LEAD = r"(?P<lead>(?:(?:every|each|on|the|in|any|all) )*)"
_PER = r"(?:a|an|per|each|every|in a)"
_UNIT = r"(?P<unit>day|week|month|year)"
_EVERY = r"(?:every|each) (?:the )?"
_DATE_OF_MONTH = r"[0-9]{1,2}(?:st|nd|rd|th|\.)"
_NTH_DAY = rf"(?:{NTH}|[1-5](?:st|nd|rd|th))"
_DAYS_LISTED = rf"{DAY}(?:(?:{THROUGH}|{AND}){DAY})*"
_NTH_WEEKEND = rf"(?:{NTH}|[0-9](?:st|nd|rd|th|\.)?|{NUMBER_WORD}|iii|ii|iv)"

_ADVERBS = {"daily": "day", "weekly": "week", "monthly": "month", "yearly": "year"}
_MANY = {"once": 1, "twice": 2, "thrice": 3, "couple": 2, "few": 3, "several": 3}
_ABOUT = r"(?:(?:at least|at most|up to|about|around|roughly|max|min) )?"
_TIMES = r"(?:(?: of)? times?| *x)"
_ANY_NUMBER = rf"(?:[0-9]{{1,2}}|{NUMBER_WORD})"
_COUNT = (
    rf"once|twice|thrice|(?:a )?(?:couple|few|several){_TIMES}"
    rf"|{_ANY_NUMBER}(?: *(?:-|–|or|to) *{_ANY_NUMBER})?{_TIMES}"
)
_PERIOD = (
    rf"(?:(?:(?:{_PER}|the) )?(?:(?P<every>{any_of(EVERY_OTHER)}|[0-9]{{1,2}}) )?"
    r"(?P<unit>day|weekday|weekend|week|fortnight|month|quarter|year|daily|weekly|monthly|yearly)s?)"
)

TIMES_A_DAY = tuple(
    Pattern(rf"{pattern}{WORD_END}", re.IGNORECASE)
    for pattern in (
        rf"{_ABOUT}(?:every )?(?P<n>{_COUNT}) *(?:in )?(?:(?:{_PER}|the) )?"
        r"(?P<unit>day|weekday|daily)s?",
        rf"(?:{_PER} )?(?P<unit>day|weekday|daily) {_ABOUT}(?P<n>{_COUNT})",
    )
)
"""A number of times in a day: `twice a day`, `2 times every day`, `every day twice`."""
_NOT_FIRST = rf"(?:{any_of(ORDINALS[1:])}|[2-5](?:nd|rd|th))"
WEEKEND = "{weekend}"
"""Where a cadence names the first day of the book's weekend, and `within` its days."""

Cadences = tuple[str, ...]
Build = Callable[[re.Match[str]], Cadences]


class Phrase(NamedTuple):
    """Words that someone may use for a cadence, and the cadences that they can mean."""

    pattern: Pattern
    build: Build
    message: str
    """The message, with `{wrong}` for the words and `{right}` for the first cadence; empty for the
    usual message."""


def counted(number: int, unit: str) -> Cadences:
    """The cadence of every N days, weeks, months, years, quarters or weekends."""
    if unit == "weekend":
        return ("every weekend" if number == 1 else f"every {number} weeks on {WEEKEND}",)
    longer = {"year": (12, "month"), "quarter": (3, "month"), "fortnight": (2, "week")}
    factor, unit = longer.get(unit, (1, unit))
    number *= factor
    return (f"every {unit}" if number == 1 else f"every {number} {unit}s",)


def _every_n(match: re.Match[str]) -> Cadences:
    """`every other week`, `every 3rd month`, `every two years`."""
    word, number = small(match["n"]), number_in(match["n"])
    if number == -1 or (number == 1 and word != "one" and not word.isdigit()):
        return ()
    return counted(number, small(match["unit"]))


def _nth_weekend(match: re.Match[str]) -> Cadences:
    """`first weekend`, `every other weekend`, `every 2 weekends`."""
    word, number = small(match["n"]), number_in(match["n"])
    if number == -1:
        return ("weekend last",)
    if word in EVERY_OTHER or word in NUMBERS or word.isdigit():
        return counted(number, "weekend")
    monthly = (f"weekend {number}",) if 1 <= number <= 5 else ()
    is_either = number > 1 and "every" in small(match["lead"]) and "month" not in small(match[0])
    return (*counted(number, "weekend"), *monthly) if is_either else monthly


def _weekend_of_weeks(match: re.Match[str]) -> Cadences:
    """`every fortnight on the weekend`, `every 2 weeks at the weekend`."""
    return counted(number_in(match["n"] or "2"), "weekend")


def _nth_day(match: re.Match[str]) -> Cadences:
    """`first monday of the month`, `every other monday`, `every last friday`."""
    word, number, day = small(match["n"]), number_in(match["n"]), day_name(match["day"])
    fortnightly = f"every 2 weeks on {day}"
    if word in EVERY_OTHER or word == "two":
        return (fortnightly,)
    if number != -1 and not 1 <= number <= 5:
        return ()
    monthly = f"every month on {'last' if number == -1 else ORDINALS[number - 1]} {day}"
    either_way = number == 2 and match["lead"] and "month" not in small(match[0])
    return (fortnightly, monthly) if either_way else (monthly,)


def _nth_days(match: re.Match[str]) -> Cadences:
    """`1st and 3rd monday`."""
    numbers = [number_in(nth) for nth in re.findall(_NTH_DAY, small(match["nths"]))]
    if not all(number == -1 or 1 <= number <= 5 for number in numbers):
        return ()
    day = day_name(match["day"])
    named = [f"{'last' if number == -1 else ORDINALS[number - 1]} {day}" for number in numbers]
    return (f"every month on {', '.join(dict.fromkeys(named))}",)


def _days(match: re.Match[str]) -> Cadences:
    days = days_in(match["days"])
    listed = "every " + ", ".join(days)
    if len(days) == len(DAYS):
        return ("every day",)
    return ("every weekday", listed) if days == list(DAYS[:5]) else (listed,)


def _months(match: re.Match[str]) -> Cadences:
    months = re.findall(MONTH, match["months"], re.IGNORECASE)
    return ("every " + ", ".join(dict.fromkeys(map(month_name, months))),)


def _month_days(match: re.Match[str]) -> Cadences:
    numbers = [int(number) for number in re.findall("[0-9]+", match["dates"])]
    listed = ", ".join(map(str, dict.fromkeys(numbers)))
    return (f"every month on {listed}",) if all(1 <= n <= 31 for n in numbers) else ()


def _day_of_year(match: re.Match[str]) -> Cadences:
    number = match["before"] or match["behind"]
    return (f"every {month_name(match['month'])}" + (f" on {int(number)}" if number else ""),)


def times_in(count: str) -> list[int]:
    """The numbers of times that words such as `twice` or `2-3 times` say."""
    words = re.findall(r"[0-9]+|[a-z]+", small(count).replace("-", " "))
    return [
        _MANY.get(word) or number_in(word)
        for word in words
        if word in _MANY or word in NUMBERS or word.isdigit()
    ]


def _times(match: re.Match[str]) -> Cadences:
    """`once a week`, `twice a month`, `3 times a week`, `every week 2-3 times`."""
    numbers = times_in(match["n"])
    unit, every = small(match["unit"]), small(match["every"] or "1")
    periods = counted(number_in(every), _ADVERBS.get(unit, unit))
    (right,) = periods
    if unit in ("day", "weekday", "daily"):
        if numbers != [1]:
            return ()
        return (f"every {'weekday' if unit == 'weekday' else 'day'}",)
    if unit == "weekend":
        return (right,)
    return tuple(right if number == 1 else f"{number} times {right}" for number in numbers)


def _after_done(match: re.Match[str]) -> Cadences:
    days = {"day": 1, "week": 7, "month": 30, "year": 365}[small(match["unit"])]
    return (f"{days * number_in(match['n'])} days after done",)


def _weekends(match: re.Match[str]) -> Cadences:
    words = [word for word in re.findall(r"[^\W_]+", match["numbers"]) if word not in ("and", "or")]
    numbers = [number_in(word) for word in words]
    listed = ", ".join("last" if n == -1 else str(n) for n in dict.fromkeys(numbers))
    return (f"weekend {listed}",)


def _time_of_day(match: re.Match[str]) -> Cadences:
    cadence = "every weekend" if match["weekend"] else "every day"
    return (f'{cadence} "{match["when"].capitalize()}"',)


SAYS = 'a book says `{right}`, not "{wrong}"'
EITHER = '"{wrong}" can mean two things'
_LISTS = 'the days of "{wrong}" want commas between them'
DAYS_ALONE = "the days alone say how often"


def _phrase(pattern: str, build: Build | str, message: str = "") -> Phrase:
    cadences = tuple(build.split(" | ")) if isinstance(build, str) else ()
    return Phrase(
        Pattern(f"(?:{pattern}){WORD_END}", re.IGNORECASE),
        build if callable(build) else lambda _: cadences,
        message,
    )


def _season(match: re.Match[str]) -> Cadences:
    months = SEASONS[small(match["season"])]
    return (f"every week during {months}", f"every {months.split()[0]}")


def _day_and_time(match: re.Match[str]) -> Cadences:
    return (f'every {day_name(match["day"])} "{match["when"].capitalize()}"',)


_NO_HOURS = "a book has days and no hours; a title tells two containers of a day apart"
PHRASES = (
    _phrase(
        r"when(?:ever)? (?:(?:there(?:'s| is)|(?:i|we) have) )?(?:spare(?: time)?|time)",
        "every week spare | every month spare",
        "the cadence comes before `spare`",
    ),
    _phrase(
        r"every month (?:in|during|on) (?:the )?first week",
        "every month on 1 within 7 days",
    ),
    _phrase(rf"{_LEAD}(?P<season>{any_of(SEASONS)})", _season),
    _phrase(
        rf"{_LEAD}(?P<day>{DAY}) (?P<when>morning|evening|night|afternoon)s?",
        _day_and_time,
        _NO_HOURS,
    ),
    _phrase(
        rf"(?:every )?(?P<n>{NUMBER_WORD}|[0-9]{{1,4}}) {_UNIT}s? "
        r"(?:after|later|since(?= (?:it|last|the|done)))"
        r"(?: (?:it|was|is|last|the|done|time|did|doing|being|that))*",
        _after_done,
        "days since the last time are written `{right}`",
    ),
    _phrase(
        rf"after (?P<n>{NUMBER_WORD}|[0-9]{{1,4}}) {_UNIT}s?",
        _after_done,
        "days since the last time are written `{right}`",
    ),
    _phrase(rf"{_ABOUT}(?:every )?(?P<n>{_COUNT}) *(?:in )?{_PERIOD}", _times),
    _phrase(
        rf"(?:{_COUNT}) (?:{_PER} )?(?P<days>{DAY})",
        _days,
        "a book does not count how often within a day",
    ),
    _phrase(rf"{_PERIOD} {_ABOUT}(?P<n>{_COUNT})", _times),
    _phrase(
        r"(?:yearly|annually|every years?|each year|once a year) "
        r"(?:(?:in|on|every|the) )*(?P<before>[0-9]{1,2})?(?:st|nd|rd|th|\.)?(?: of)?"
        rf" *(?P<month>{MONTH})"
        r"(?: (?:the )?(?P<behind>[0-9]{1,2})(?:st|nd|rd|th)?)?",
        _day_of_year,
        "what comes once a year goes by its month",
    ),
    _phrase(
        rf"{_LEAD}(?:{_N} weeks?|fortnight(?:ly|s)?) (?:(?:on|at|in) )?(?:(?:the|a) )?weekends?",
        _weekend_of_weeks,
    ),
    _phrase(
        rf"{_LEAD}(?P<n>{any_of(EVERY_OTHER)}|[0-9]{{1,2}}|{NUMBER_WORD}) weekends?", _nth_weekend
    ),
    _phrase(rf"(?P<lead>every (?:the )?)(?P<n>{_NOT_FIRST}) weekends?(?! (?:of|in))", _nth_weekend),
    _phrase(
        rf"{_LEAD}{_N} weekends?{OF_MONTH}",
        _nth_weekend,
        "a weekend goes by its number in the month, or by `last`",
    ),
    _phrase(
        rf"{_EVERY}{_N} (?P<unit>year|quarter|fortnight)s?",
        _every_n,
        'a book counts in days, weeks and months, not as "{wrong}" does',
    ),
    _phrase(rf"{_EVERY}{_N} (?P<unit>day|week|month)s?", _every_n),
    _phrase(
        rf"hourly|{_EVERY}(?:{_N} )?(?:hour|minute)s?",
        "every day",
        "a book has days and no hours",
    ),
    _phrase(
        rf"{_LEAD}{_N} (?P<day>{DAY}){OF_MONTH}",
        _nth_day,
    ),
    _phrase(
        rf"{_LEAD}(?P<nths>{_NTH_DAY}(?:{AND}{_NTH_DAY})+) (?P<day>{DAY}){OF_MONTH}",
        _nth_days,
    ),
    _phrase(
        rf"(?:every|each) (?P<before>[0-9]{{1,2}})(?:st|nd|rd|th|\.)?(?: of)? (?P<month>{MONTH})"
        r"(?P<behind>)",
        _day_of_year,
    ),
    _phrase(
        rf"{_LEAD}(?P<dates>{_DATE_OF_MONTH}(?:{AND}{_DATE_OF_MONTH})*){OF_MONTH}",
        _month_days,
        "days of the month are plain numbers behind `every month on`",
    ),
    _phrase(rf"{_LEAD}last day{OF_MONTH}", "every month on last"),
    _phrase(rf"{_LEAD}first day{OF_MONTH}", "every month on 1"),
    _phrase(
        rf"weekends? (?P<numbers>{_NTH_WEEKEND}(?:{AND}{_NTH_WEEKEND})*){OF_MONTH}",
        _weekends,
        "a weekend goes by its number in the month, or by `last`",
    ),
    _phrase(
        r"every (?:single )?day of the week|every single day",
        "every day",
    ),
    _phrase(
        rf"(?:weekly|(?:every|each) week) (?:on (?:the )?)?(?P<days>{_DAYS_LISTED})",
        _days,
        DAYS_ALONE,
    ),
    _phrase(r"daily|every-?day|(?:each|all) days?", "every day"),
    _phrase(r"weekly|every-?week|each week", "every week"),
    _phrase(r"monthly|every-?month|each month", "every month"),
    _phrase(r"quarterly|(?:every|each) quarter", "every 3 months"),
    _phrase(
        r"(?:bi|semi)-?annual(?:ly)?|half[-\t\x20]?yearly|(?:every|each) half[-\t\x20]?year",
        "every 6 months",
    ),
    _phrase(
        r"yearly|annual(?:ly)?|every-?year|(?:every|each) years?",
        "every 12 months",
        'a book counts in days, weeks and months, not as "{wrong}" does',
    ),
    _phrase(
        r"(?:bi|semi)-?weekly",
        "every 2 weeks | every monday, thursday",
    ),
    _phrase(
        r"(?:bi|semi)-?monthly",
        "every 2 months | every month on 1, 15",
    ),
    _phrase(rf"{_LEAD}fortnight(?:ly|s)?", "every 2 weeks"),
    _phrase(r"nightly", 'every day "Evening"'),
    _phrase(
        rf"{_LEAD}(?P<weekend>weekend )?"
        r"(?P<when>morning|evening|night|afternoon|noon|bedtime)s?",
        _time_of_day,
        _NO_HOURS,
    ),
    _phrase(
        rf"{_LEAD}(?:weekdays?|work-?days?|(?:work|working|business|week|school) days?)",
        "every weekday",
    ),
    _phrase(rf"{_LEAD}(?:weekends?|week[-\t\x20]ends?)", "every weekend"),
    _phrase(
        rf"{_LEAD}(?P<months>{MONTH}(?:{AND}{MONTH})*)"
        r"(?: (?:of|in) (?:every|each) year)?",
        _months,
    ),
    _phrase(rf"{_LEAD}(?P<days>{DAY}(?:{THROUGH}{DAY}){{1,3}})", _days, SAYS),
    _phrase(rf"{_LEAD}(?P<days>{DAY})", _days),
    _phrase(rf"{_LEAD}(?P<days>{_DAYS_LISTED})", _days, _LISTS),
)

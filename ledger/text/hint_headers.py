"""Near misses of headers: how often a section comes round, said in words that no book has."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from ledger.text.hint_durations import NUMBERS
from ledger.text.hint_miss import WORD_END, Edit, Hint, Miss, gets_past
from ledger.text.values import DAYS, MONTHS, ORDINALS

DAY = r"(?:mon(?:day)?|tue(?:s(?:day)?)?|wed(?:s|nesday)?|thu(?:r(?:s(?:day)?)?)?|fri(?:day)?|sat(?:urday)?|sun(?:day)?)s?\.?"
MONTH = r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?"
_NUMBER_WORDS = "|".join(sorted((w for w in NUMBERS if len(w) > 2), key=len, reverse=True))
_NTH = {
    **{word: n for n, word in enumerate(ORDINALS, 1)}, "sixth": 6, "last": -1, "final": -1,
    "other": 2, "alternate": 2, "alternating": 2,
}  # fmt: skip
_N = rf"(?P<n>other|alternate|alternating|first|second|third|fourth|fifth|sixth|last|final|[0-9]{{1,4}}(?:st|nd|rd|th|\.)?|{_NUMBER_WORDS})"
_LEAD = r"(?:(?:every|each|on|the|in|any|all)[ \t]+)*"
_EVERY = r"(?:(?:every|each)[ \t]+(?:the[ \t]+)?)"
_UNIT = r"(?P<unit>day|week|month|year|quarter|fortnight|weekend)s?"
_OF_MONTH = r"(?:[ \t]+(?:of|in)[ \t]+(?:the|each|every|a)[ \t]+month)?"
_RANGE = r"[ \t]*(?:-|–|—|\.\.\.?|to|through|thru|until|till)[ \t]*"
_AND = r"(?:[ \t]*(?:,[ \t]*(?:and|or)?|/|;|&|\+|\band\b|\bor\b)[ \t]*|[ \t]+)"

Build = Callable[[re.Match[str]], tuple[str, ...]]


class Phrase(NamedTuple):
    """Words that someone may use for a cadence, and the cadences of a book that they can mean."""

    match: re.Pattern[str]
    build: Build


def _number(word: str) -> int:
    word = word.lower().rstrip(".")
    if word in _NTH:
        return _NTH[word]
    if word in NUMBERS:
        return NUMBERS[word]
    return int(re.sub("[^0-9]", "", word))


def counted(number: int, unit: str) -> tuple[str, ...]:
    """The cadence of each so many days, weeks, months, years, quarters or weekends."""
    unit = unit.lower()
    if unit == "weekend":
        return ("every weekend",) if number == 1 else ("weekend 1, 3",) if number == 2 else ("weekend 1",)
    factor, unit = {"year": (12, "month"), "quarter": (3, "month"), "fortnight": (2, "week")}.get(
        unit, (1, unit)
    )
    number *= factor
    return (f"every {unit}",) if number == 1 else (f"every {number} {unit}s",)


def _every_n(found: re.Match[str]) -> tuple[str, ...]:
    number, unit, said = _number(found["n"]), found["unit"].lower(), found["n"].lower()
    if unit == "weekend" and (said in _NTH or not said[-1:].isdigit()) and said != "other":
        if number == -1:
            return ("weekend last",)
        if said == "second":
            return ("weekend 2", "weekend 1, 3")
        return (f"weekend {number}",) if number <= 5 and said in _NTH else counted(number, unit)
    if number == -1 or (number == 1 and said != "one" and not said.isdigit()):
        return ()
    return counted(number, unit)


def _nth_weekend(found: re.Match[str]) -> tuple[str, ...]:
    number = _number(found["n"])
    if number == -1:
        return ("weekend last",)
    return (f"weekend {number}",) if 1 <= number <= 5 else ()


def _nth_day(found: re.Match[str]) -> tuple[str, ...]:
    number, day = _number(found["n"]), day_name(found["day"])
    said = found["n"].lower()
    fortnightly = f"every 2 weeks on {day}"
    if said in ("other", "alternate", "alternating", "two"):
        return (fortnightly,)
    monthly = f"every month on {'last' if number == -1 else _ordinal(number)} {day}"
    if number == 2 and found[0].lower().startswith(("every", "each")) and "month" not in found[0]:
        return (fortnightly, monthly)
    return (monthly,) if number == -1 or 1 <= number <= 5 else ()


def _ordinal(number: int) -> str:
    return ORDINALS[number - 1] if 1 <= number <= 5 else str(number)


def day_name(said: str) -> str:
    """A day of the week as a book writes it."""
    return next(day for day in DAYS if day.startswith(said[:3].lower()))


def month_name(said: str) -> str:
    """A month as a book writes it."""
    return next(month for month in MONTHS if month.startswith(said[:3].lower()))


def days_in(said: str) -> list[str]:
    """The days of a list in any words, with what `to` and dashes leave out between two."""
    out: list[str] = []
    for found in re.finditer(rf"(?P<a>{DAY}){_RANGE}(?P<b>{DAY}){WORD_END}|(?P<c>{DAY})", said, re.I):
        if found["c"]:
            out.append(day_name(found["c"]))
            continue
        first, last = DAYS.index(day_name(found["a"])), DAYS.index(day_name(found["b"]))
        out += [DAYS[(first + n) % 7] for n in range((last - first) % 7 + 1)]
    return list(dict.fromkeys(out))


def _days(found: re.Match[str]) -> tuple[str, ...]:
    days = days_in(found["days"])
    if days == list(DAYS):
        return ("every day",)
    listed = "every " + ", ".join(days)
    return ("every weekday", listed) if days == list(DAYS[:5]) else (listed,)


def _months(found: re.Match[str]) -> tuple[str, ...]:
    months = [month_name(said) for said in re.findall(MONTH, found["months"], re.I)]
    return ("every " + ", ".join(dict.fromkeys(months)),)


def _times(found: re.Match[str]) -> tuple[str, ...]:
    said, unit = found["n"].lower(), found["unit"].lower()
    number = {"once": 1, "twice": 2, "thrice": 3}.get(said) or _number(said.split()[0])
    if number == 1:
        return counted(1, unit)
    spread = {
        ("week", 2): "every monday, thursday", ("week", 3): "every monday, wednesday, friday",
        ("month", 2): "every month on 1, 15", ("month", 3): "every month on 1, 11, 21",
        ("year", 2): "every april, october", ("year", 3): "every january, may, september",
        ("year", 4): "every 3 months", ("week", 5): "every weekday", ("week", 7): "every day",
        ("year", 6): "every 2 months", ("week", 4): "every monday, tuesday, thursday, friday",
    }  # fmt: skip
    right = spread.get((unit, number)) or ("every day" if unit == "day" else None)
    return (right,) if right else ()


def _after_done(found: re.Match[str]) -> tuple[str, ...]:
    number = _number(found["n"])
    days = {"day": 1, "week": 7, "month": 30, "year": 365}[found["unit"].lower()] * number
    return (f"{days} days after done",)


def _month_days(found: re.Match[str]) -> tuple[str, ...]:
    numbers = [int(n) for n in re.findall(r"[0-9]+", found["dates"])]
    if not all(1 <= n <= 31 for n in numbers):
        return ()
    return ("every month on " + ", ".join(map(str, dict.fromkeys(numbers))),)


def _weekends(found: re.Match[str]) -> tuple[str, ...]:
    words = re.findall(r"[^\W_]+", found["numbers"])
    numbers = []
    for word in words:
        if word.lower() in ("and", "or"):
            continue
        number = _number(word)
        if number != -1 and not 1 <= number <= 5:
            return ()
        numbers.append("last" if number == -1 else str(number))
    return ("weekend " + ", ".join(dict.fromkeys(numbers)),)


def _always(*cadences: str) -> Build:
    return lambda _: cadences


def _titled(found: re.Match[str]) -> tuple[str, ...]:
    when = found["when"].lower()
    cadence = "every weekend" if found["weekend"] else "every day"
    return (f'{cadence} "{when.capitalize()}"',)


def _phrase(pattern: str, build: Build) -> Phrase:
    return Phrase(re.compile(f"(?:{pattern}){WORD_END}", re.IGNORECASE), build)


_NTH_LIST = rf"(?:first|second|third|fourth|fifth|last|[0-9](?:st|nd|rd|th|\.)?|{_NUMBER_WORDS})"
PHRASES = (
    _phrase(
        rf"(?:(?:every|each)[ \t]+)?(?P<n>{_NUMBER_WORDS}|[0-9]{{1,4}})[ \t]+(?P<unit>day|week|month|year)s?"
        r"[ \t]+(?:after|later|since)[ \t]*(?:it[ \t]+(?:was|is)[ \t]+)?(?:last[ \t]+)?(?:done|time|did|doing|completion)?",
        _after_done,
    ),
    _phrase(rf"after[ \t]+(?P<n>{_NUMBER_WORDS}|[0-9]{{1,4}})[ \t]+(?P<unit>day|week|month|year)s?", _after_done),
    _phrase(
        r"(?P<n>once|twice|thrice|(?:[0-9]{1,2}|two|three|four|five)[ \t]+times|[0-9]x)[ \t]+"
        r"(?:a|an|per|each|every|in[ \t]+a)[ \t]+(?P<unit>day|week|month|year)",
        _times,
    ),
    _phrase(rf"{_LEAD}{_N}[ \t]+weekends?{_OF_MONTH}(?<!every)", lambda m: _weekend_or_count(m)),
    _phrase(rf"{_EVERY}{_N}[ \t]+{_UNIT}", _every_n),
    _phrase(rf"{_LEAD}{_N}[ \t]+(?P<day>{DAY}){_OF_MONTH}", _nth_day),
    _phrase(
        rf"{_LEAD}(?:day[ \t]+)?(?P<dates>[0-9]{{1,2}}(?:st|nd|rd|th|\.)(?:{_AND}[0-9]{{1,2}}(?:st|nd|rd|th|\.)?)*){_OF_MONTH}",
        _month_days,
    ),
    _phrase(rf"{_LEAD}last[ \t]+day{_OF_MONTH}", _always("every month on last")),
    _phrase(rf"{_LEAD}first[ \t]+day{_OF_MONTH}", _always("every month on 1")),
    _phrase(rf"weekends?[ \t]+(?P<numbers>{_NTH_LIST}(?:{_AND}{_NTH_LIST})*){_OF_MONTH}", _weekends),
    _phrase(r"daily|every[ \t]*day|each[ \t]+day|all[ \t]+days|every[ \t]+(?:single[ \t]+)?day(?:[ \t]+of[ \t]+the[ \t]+week)?", _always("every day")),
    _phrase(r"weekly|every-?week|each[ \t]+week", _always("every week")),
    _phrase(r"monthly|every-?month|each[ \t]+month", _always("every month")),
    _phrase(r"quarterly|(?:every|each)[ \t]+quarter", _always("every 3 months")),
    _phrase(r"(?:bi|semi)-?annually|half-?yearly|(?:every|each)[ \t]+half[ \t-]?year", _always("every 6 months")),
    _phrase(r"yearly|annual(?:ly)?|every-?year|(?:every|each)[ \t]+years?", _always("every 12 months")),
    _phrase(r"(?:bi|semi)-?weekly", _always("every 2 weeks", "every monday, thursday")),
    _phrase(r"(?:bi|semi)-?monthly", _always("every 2 months", "every month on 1, 15")),
    _phrase(rf"{_LEAD}fortnight(?:ly|s)?", _always("every 2 weeks")),
    _phrase(r"nightly", _always('every day "Evening"')),
    _phrase(rf"{_LEAD}(?P<weekend>weekend[ \t]+)?(?P<when>morning|evening|night|afternoon|noon|lunchtime|bedtime)s?", _titled),
    _phrase(rf"{_LEAD}(?:weekdays?|work-?days?|(?:work|working|business|week|school)[ \t]+days?)", _always("every weekday")),
    _phrase(rf"{_LEAD}(?:weekends?|week[ \t-]ends?)", _always("every weekend")),
    _phrase(
        rf"{_LEAD}(?P<months>{MONTH}(?:{_AND}{MONTH})*)(?:[ \t]+(?:of|in)[ \t]+(?:every|each)[ \t]+year)?",
        _months,
    ),
    _phrase(rf"{_LEAD}(?P<days>{DAY}(?:(?:{_RANGE}|{_AND}){DAY})*)", _days),
)  # fmt: skip


def _weekend_or_count(found: re.Match[str]) -> tuple[str, ...]:
    every = found[0].lower().startswith(("every", "each"))
    said = found["n"].lower()
    if every and (said in ("other", "alternate", "alternating", "second") or said.isdigit() or said in NUMBERS):
        return _every_n_weekends(said)
    return _nth_weekend(found)


def _every_n_weekends(said: str) -> tuple[str, ...]:
    if said == "second":
        return ("weekend 2", "weekend 1, 3")
    number = _number(said)
    return counted(number, "weekend")


def cadence(miss: Miss) -> Hint | None:
    """A cadence in other words than those of a book."""
    begin = _cadence_start(miss)
    if begin is None:
        return None
    for phrase in PHRASES:
        found = phrase.match.match(miss.text, begin, miss.body)
        if found is None or found.end() < miss.after:
            continue
        cadences = tuple(c for c in phrase.build(found) if c != found[0])
        edits = tuple(Edit(begin, found.end(), right) for right in cadences)
        if not edits or not gets_past(miss.text, edits[0]):
            continue
        said = miss.text[begin : found.end()]
        ways = " or ".join("{}" for _ in edits)
        message = f'a book has other words for "{said}"'
        return Hint(message, f"write {ways}", edits, found.end(), whole=True)
    return None


def _cadence_start(miss: Miss) -> int | None:
    """Where the cadence of a header begins, if the reader stopped in one."""
    if miss.start == "chore_line":
        return None
    found = re.compile(r"[ \t]*(?:paused[ \t]+)?").match(miss.text)
    begin = found.end() if found else 0
    head = miss.text[begin : miss.at]
    if re.match(r"(?:household|since|person|area|limit|away|day|week)\b", head) or '"' in head:
        return None
    return begin if miss.at >= begin else miss.margin

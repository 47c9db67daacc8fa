"""The words that hints look for: days, months, numbers, dates and names, however they are written.

In a pattern, a blank matches one or more blanks and tabs; with a star, any number of them.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterable, Iterator
from functools import cache, cached_property
from typing import Any, TypeVar

from ledger.text.clauses import CLAUSES, ChoreLine
from ledger.text.values import DAYS, MONTHS, ORDINALS

T = TypeVar("T")

_END = sys.maxsize


class Pattern:
    """A regular expression that is compiled at first use: few of them are ever used."""

    def __init__(self, pattern: str, flags: re.RegexFlag = re.NOFLAG) -> None:
        self._pattern, self._flags = pattern, flags

    @cached_property
    def _compiled(self) -> re.Pattern[str]:
        pattern = self._pattern.replace(" *", r"[\t\x20]*").replace(" ", r"[\t\x20]+")
        return re.compile(pattern, self._flags)

    def match(self, text: str, begin: int = 0, end: int = _END) -> re.Match[str] | None:
        """A match at a place."""
        return self._compiled.match(text, begin, end)

    def fullmatch(self, text: str) -> re.Match[str] | None:
        """A match of all of a text."""
        return self._compiled.fullmatch(text)

    def search(self, text: str, end: int = _END, begin: int = 0) -> re.Match[str] | None:
        """The first match anywhere before a place."""
        return self._compiled.search(text, begin, end)

    def finditer(self, text: str) -> Iterator[re.Match[str]]:
        """All matches."""
        return self._compiled.finditer(text)

    def findall(self, text: str) -> list[Any]:
        """The groups of all matches: texts, or tuples of them (hence Any)."""
        return self._compiled.findall(text)

    def split(self, text: str) -> list[str]:
        """What stands between the matches."""
        return [part for part in self._compiled.split(text) if part]


WORD_END = r"(?![^\s,#\"])"


@cache
def matched(pattern: str) -> Callable[[str, int, int], re.Match[str] | None]:
    """A function that matches whole words at a place, capitals or not."""
    return Pattern(f"(?:{pattern}){WORD_END}", re.IGNORECASE).match


def first_read(
    rows: Iterable[tuple[str, Callable[[re.Match[str]], T]]], text: str, begin: int, end: int
) -> tuple[int, T] | None:
    """The end and the meaning of the words that the first fitting pattern matches, or None."""
    for pattern, read in rows:
        match = matched(pattern)(text, begin, end)
        if match is not None:
            return match.end(), read(match)
    return None


def any_of(words: Iterable[str]) -> str:
    """A pattern of some words, the longest first."""
    return f"(?:{'|'.join(sorted(words, key=lambda word: (-len(word), word)))})"


_LETTERS = str.maketrans("ſ\u212aıİ", "skii")


def small(word: str) -> str:
    """A word in small letters; odd letters that a pattern takes for `s`, `k` or `i` become
    these."""
    return word.translate(_LETTERS).lower()


# ----------------------------------------------------------------------- names and titles

NAME = r"[^\W\d_](?:[^\W_]|-|[^\x00-\x7f\s\w])*"
"""What the grammar accepts as a name."""
NAMES = rf"{NAME}(?: *, *{NAME})*"
TITLE = r'"(?:[^"\\]|\\.)*"'
_KEYWORDS = {node: {one.keyword for one in some if one.keyword} for node, some in CLAUSES.items()}
CLAUSE_WORDS = frozenset(_KEYWORDS[ChoreLine])
"""The first words of a chore's clauses, except minutes and title."""
CLAUSE = any_of(CLAUSE_WORDS)
"""A pattern of one of these."""
ANY_CLAUSE = any_of(set().union(*_KEYWORDS.values()))
"""The same, for a clause of a chore or a header."""
FLAGS = tuple(one.keyword for one in CLAUSES[ChoreLine] if one.kind == "flag")
"""The flags of a header or a chore."""
DECLARES = r"(?:household|since|person|area|limit|days|away|rest|day|week)\b"
"""The first words of declarations, except that of the weekend."""


def folded(name: str) -> str:
    """A name without what people write in several ways: capitals, hyphens, blanks."""
    return re.sub(r"[-_\s'’]", "", name).casefold()


def declared(words: str, names: Iterable[str]) -> str | None:
    """The name that some words mean, of those declared; None where they mean none."""
    wanted = folded(words)
    return next((name for name in names if name == words or folded(name) == wanted), None)


# ------------------------------------------------------------------------- days and months

DAY = any_of({*DAYS, *(day[:3] for day in DAYS), "tues", "weds", "thur", "thurs"}) + r"s?\.?"
MONTH = any_of({*MONTHS, *(month[:3] for month in MONTHS), "sept"}) + r"\.?"
SEASONS = {
    "spring": "march to may", "summer": "june to august", "autumn": "september to november",
    "fall": "september to november", "winter": "december to february",
}  # fmt: skip
"""The months of the seasons, as a list of days has them."""
NTH = any_of((*ORDINALS, "last", "final"))
AND = r"(?: *(?:, *(?:and\b|or\b)?|/|;|&|\+|\band\b|\bor\b) *| )"
THROUGH = r" *(?:-|–|—|\.\.\.?|to|through|thru|until|till) *"
IN_MONTH = r"(?:of|in) (?:the|each|every|a) month"
OF_MONTH = rf"(?: {IN_MONTH})?"
_DAYS_OR_SPAN = Pattern(
    rf"(?P<a>{DAY}){THROUGH}(?P<b>{DAY})(?![^\W\d_])|(?P<c>{DAY})(?![^\W\d_])", re.IGNORECASE
)


_MONTHS = Pattern(rf"(?P<a>{MONTH})(?:{THROUGH}(?P<b>{MONTH}))?(?![^\W\d_])", re.IGNORECASE)


def day_name(word: str) -> str:
    """A day of the week as a book writes it."""
    return next(day for day in DAYS if day.startswith(small(word)[:3]))


def month_name(word: str) -> str:
    """A month as a book writes it."""
    return next(month for month in MONTHS if month.startswith(small(word)[:3]))


def days_between(first: str, last: str) -> list[str]:
    """The days of the week from one to another, over the end of the week too."""
    return days_in(f"{first} to {last}")


def months_between(first: str, last: str) -> list[str]:
    """The months from one to another, over the end of the year too."""
    begin, end = (MONTHS.index(month_name(word)) for word in (first, last))
    return [MONTHS[(begin + n) % 12] for n in range((end - begin) % 12 + 1)]


def months_in(text: str) -> list[str]:
    """The months of a list in any words, with the months between two that a dash or `to` joins."""
    spans = (months_between(one["a"], one["b"] or one["a"]) for one in _MONTHS.finditer(text))
    return list(dict.fromkeys(month for months in spans for month in months))


def days_in(text: str) -> list[str]:
    """The days of a list in any words, with the days between two that a dash or `to` joins."""
    out: list[str] = []
    for match in _DAYS_OR_SPAN.finditer(text):
        first = DAYS.index(day_name(match["a"] or match["c"]))
        last = DAYS.index(day_name(match["b"] or match["c"]))
        out += [DAYS[(first + n) % 7] for n in range((last - first) % 7 + 1)]
    return list(dict.fromkeys(out))


# ---------------------------------------------------------------------------------- numbers

_ONES = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
NUMBERS = {word: number for number, word in enumerate(_ONES, 1)}
NUMBERS |= {word: 10 * number for number, word in enumerate(_TENS, 2)}
NUMBERS |= {f"{ten}-{one}": NUMBERS[ten] + NUMBERS[one] for ten in _TENS for one in _ONES[:9]}
NUMBERS |= {"a": 1, "an": 1}
"""Numbers in words, up to ninety-nine."""
NUMBER_WORD = rf"(?:{any_of(_TENS)}(?:(?:-| ){any_of(_ONES[:9])}(?![^\W_]))?|{any_of(_ONES)})"
"""A number in words, except `a` and `an`."""
NUMBER = rf"(?:[0-9]{{1,4}}|{NUMBER_WORD}|an?)"
EVERY_OTHER = {"other": 2, "alternate": 2, "alternating": 2}
_OTHER_NUMBERS = (
    {word: number for number, word in enumerate(ORDINALS, 1)}
    | {"last": -1, "final": -1, "ii": 2, "iii": 3, "iv": 4}
    | EVERY_OTHER
)


def number_in(text: str) -> int:
    """The number that a word says: `2`, `two`, `2nd`, `second`, `twenty two`; -1 for `last`."""
    word = "-".join(small(text).replace("-", " ").split()).rstrip(".")
    number = NUMBERS.get(word) or _OTHER_NUMBERS.get(word)
    return number if number is not None else int(re.sub("[^0-9]", "", word))


# -------------------------------------------------------------------------- dates and times

DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
DAYS_AHEAD = {"yesterday": -1, "today": 0, "tonight": 0, "now": 0, "tomorrow": 1}
"""Words for a day, and how many days it lies after the day on which they are said."""
DAY_OF_MONTH = r"[0-9]{1,2}(?:st|nd|rd|th|\.)?"
TIME = r"(?:at )?[0-9]{1,2}[:.][0-9]{2}(?::[0-9]{2})?(?: *[ap]m)?"
"""A time of day."""
UNIT = r"(?:min|h)\b"
MINUTES = rf"[0-9]{{1,4}} {UNIT}(?: [0-9]{{1,2}} min)?"
"""A duration as a book writes it."""
UNITS = {
    "minutes": "min", "minute": "min", "mins": "min", "min.": "min", "mins.": "min", "m": "min",
    "mn": "min", "minuten": "min", "hours": "h", "hour": "h", "hrs": "h", "hr": "h", "hs": "h",
    "h.": "h", "hrs.": "h", "hr.": "h", "std": "h",
}  # fmt: skip
"""Other spellings of units of time, with how a book writes them."""

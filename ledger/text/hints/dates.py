"""Near misses of dates and spans: other orders, other signs, months in words, no day at all."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from ledger.text.hints.misread import Edit, Hint, Misread, reads
from ledger.text.hints.slips import SAYS, Slip
from ledger.text.hints.vocabulary import DATE, MONTH, Pattern, any_of, first_read, month_name
from ledger.text.values import DAYS, MONTHS

_SEP = "[-./‐‑–—−]"
_DAY = r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th|\.)?"
_MONTH = f"(?P<month>{MONTH})"
_GAP = r" *[-,]? *"
_YEAR = r"(?P<year>(?:19|20)[0-9]{2})"

_NUMBER_BEFORE = Pattern(r"[0-9]{1,4} \Z")


SPAN = (
    Slip(
        "",
        rf"(?P<a>{DATE})(?:\.{{2,3}}|[-‐‑–—−/~>→]|->|to)"
        rf"(?P<b>{DATE}|[0-9]{{2}}-[0-9]{{2}}|[0-9]{{2}})",
        lambda words: f"{words['a']} to {words['a'][: -len(words['b'])]}{words['b']}",
        "a span of days has `to` between its dates",
    ),
    Slip(
        "TO",
        r"(?:until|till|til|through|thru|upto|up to|and|bis|-+>?|[‐‑–—−→>~/]+|\.{2,3})",
        "to",
        SAYS,
    ),
    Slip("TO", MONTH, "to ", "`to` is missing between two months", adds=True, whole=True),
    Slip("TO", r"[0-9]\S*", "to ", "`to` is missing between two dates", adds=True, whole=True),
)
"""Two dates with another sign or word between them than `to`, or with none."""

NO_DATE = Slip(
    "DATE",
    rf"(?:(?:next|last|this) )?(?:today|tomorrow|yesterday|tonight|now|{any_of(DAYS)})",
    "{date}",
    '"{said}" names another day each time it is read',
    "write its date, such as {}",
    is_example=True,
)
"""`today`, `tomorrow` or a day of the week where a date must stand."""


def loose_date(miss: Misread) -> Hint | None:
    """A date in another order, with other signs or with its month in words."""
    if not _date_here(miss):
        return None
    for begin in _begins(miss):
        found = _reading(miss, begin)
        if found is None:
            continue
        end, days = found
        said = miss.text[begin:end]
        edits = tuple(Edit(begin, end, day) for day in days)
        if len(days) > 1:
            ways = " or ".join("{} for " + _said(day) for day in days)
            return Hint(f'"{said}" can be read as two different dates', f"write {ways}", edits, end)
        return Hint(f'"{said}" is not how a book writes a date', "write {}", edits, end)
    return None


def _date_here(miss: Misread) -> bool:
    if miss.wants("DATE") or miss.wants("HOUSEHOLD"):
        return True
    return miss.wants("TO") or miss.at == miss.margin or "DAYS" in miss.expected


def _begins(miss: Misread) -> Iterator[int]:
    """Where a date may begin: at the fault, or at the figure before."""
    yield miss.at
    number = _NUMBER_BEFORE.search(miss.text, miss.at)
    if number is not None:
        yield number.start()


def _reading(miss: Misread, begin: int) -> tuple[int, list[str]] | None:
    """Where a date ends that begins at a place, and the days that it can mean, one at least."""
    found = first_read(_DATES, miss.text, begin, miss.body)
    if found is None:
        return None
    end, days = found
    near = [f"{year or miss.date[:4]}-{int(month):02}-{int(day):02}" for year, month, day in days]
    other = [day for day in dict.fromkeys(near) if day != miss.text[begin:end]]
    real = [day for day in other if reads(f"since {day}")]
    return (end, real) if real else None


def _year_last(found: re.Match[str]) -> list[tuple[str, str, str]]:
    """The days of a date that ends with its year, or that writes its year in two figures."""
    a, b, year = found["a"], found["b"], found["y"]
    if len(year) == 2:
        if found["sep"] == "-":
            return [(f"20{int(a):02}", b, year)]
        year = f"20{year}"
    return [(year, b, a)] if found["sep"] == "." else [(year, b, a), (year, a, b)]


def _in_order(found: re.Match[str]) -> list[tuple[str, str, str]]:
    return [(found["y"], found["m"], found["d"])]


def _with_month(found: re.Match[str]) -> list[tuple[str, str, str]]:
    month = MONTHS.index(month_name(found["month"])) + 1
    return [(found["year"], str(month), found["day"])]


_DATES: tuple[tuple[str, Callable[[re.Match[str]], list[tuple[str, str, str]]]], ...] = (
    (
        r"(?P<y>[0-9]{4})-(?P<m>[0-9]{2})-(?P<d>[0-9]{2})"
        r"(?:T| )[0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?Z?",
        _in_order,
    ),
    (rf"(?P<y>[0-9]{{4}}){_SEP}(?P<m>[0-9]{{1,2}}){_SEP}(?P<d>[0-9]{{1,2}})\.?", _in_order),
    (r"(?P<y>(?:19|20)[0-9]{2})(?P<m>[01][0-9])(?P<d>[0-3][0-9])", _in_order),
    (
        rf"(?P<a>[0-9]{{1,2}})(?P<sep>{_SEP})(?P<b>[0-9]{{1,2}})(?P=sep)"
        r"(?P<y>[0-9]{4}|[0-9]{2})\.?",
        _year_last,
    ),
    (rf"{_YEAR}{_GAP}{_MONTH}{_GAP}{_DAY}", _with_month),
    (rf"{_DAY}(?: of)?{_GAP}{_MONTH}(?:{_GAP}{_YEAR}|(?!{_GAP}[0-9]))", _with_month),
    (rf"{_MONTH}{_GAP}(?:the )?{_DAY}(?:{_GAP}{_YEAR}|(?!{_GAP}[0-9]))", _with_month),
)
"""Dates in other orders, with other signs or with words: year, where it is said, month and day."""


def _said(day: str) -> str:
    return f"{int(day[8:])} {MONTHS[int(day[5:7]) - 1].capitalize()}"

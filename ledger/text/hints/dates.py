"""Near misses of dates and spans: other orders, other signs, months in words, no day at all."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from ledger.text.hints.facts import Near
from ledger.text.hints.misread import LONGEST, Hint, Misread
from ledger.text.hints.reading import Edit, reads
from ledger.text.hints.slips import SAYS, Slip
from ledger.text.hints.vocabulary import DATE, DAY, MONTH, Pattern, first_read, month_name, small
from ledger.text.values import MONTHS

_SEP = "[-./‐‑–—−]"
_DAY = r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th|\.)?"
_MONTH = f"(?P<month>{MONTH})"
_GAP = r" *[-,]? *"
_NO_YEAR = rf"(?! *,? *[0-9]{{1,4}}(?! *{MONTH})(?![0-9])|-[0-9])"
_YEAR = r"(?P<year>(?:19|20)[0-9]{2})"

_WEEKDAY_BEFORE = Pattern(rf"{DAY},? (?:the )?(?=[0-9])", re.IGNORECASE)
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
        r"(?:until|till|til|through|thru|upto|up to|bis|-+>?|[‐‑–—−→>~/]+|\.{2,3})",
        "to",
        SAYS,
    ),
    *(
        Slip(
            wants,
            wrong,
            tuple(f"{word}{gap}" for word in new),
            message,
            fix,
            unless=unless,
            adds=bool(gap),
            joins=True,
            whole=True,
        )
        for wrong, gap, message in (
            ("and|&", "", '"{wrong}" does not say whether this is a span'),
            (rf"{MONTH}(?! {MONTH})|[0-9]\S*", " ", "nothing says whether this is a span"),
        )
        for wants, unless, new, fix in (
            ("TO COMMA", "", (" to", ","), "write {} for a span, or {} for a list"),
            ("TO", "COMMA", (" to",), "write {}"),
        )
    ),
)
"""Two dates with a sign or word other than `to` between them, or with nothing."""


def loose_date(miss: Misread) -> Hint | None:
    """A date in another order, with other signs or with its month in words."""
    if not _date_here(miss):
        return None
    for begin, first in _begins(miss):
        reading = _reading(miss, begin, first)
        if reading is None:
            continue
        end, days = reading
        wrong = miss.text[begin:end]
        if not days:
            continue
        edits = tuple(Edit(begin, end, day) for day in days)
        if len(days) > 1:
            alternatives = " or ".join("{} for " + _day_text(day) for day in days)
            return Hint(
                f'"{wrong}" can be read as two different dates', f"write {alternatives}", edits, end
            )
        return Hint(f'"{wrong}" is not how a book writes a date', "write {}", edits, end)
    return None


_SLASHED = Pattern(r"(?<![^\s,])(?P<a>[0-9]{1,2})/(?P<b>[0-9]{1,2})(?![^\s,])")
_LIMITED = Pattern(rf"(?:from )?(?P<a>{DATE}) *(?:to|until|till|-|–) *(?P<b>{DATE})")


def slashed(miss: Misread) -> Hint | None:
    """Dates such as `4/7`, in which the day or the month may come first."""
    if len(miss.text) > LONGEST or _SLASHED.search(miss.head) or not _SLASHED.match(miss.rest):
        return None
    lines = dict.fromkeys(filter(None, (_with_dates(miss, one) for one in ("ab", "ba"))))
    wrong = " to ".join(match[0] for match in _SLASHED.finditer(miss.text[: miss.body]))
    if not lines:
        return None
    edits = tuple(Edit(0, miss.body, line) for line in lines)
    message = (
        f'"{wrong}" can be read in two ways' if len(edits) > 1 else f'"{wrong}" lacks the year'
    )
    fix = "write {}, or {} with the month first" if len(edits) > 1 else "write {}"
    return Hint(message, fix, edits, miss.body, whole=True)


def _with_dates(miss: Misread, order: str) -> str:
    """The line with its dates written out, read in one order; empty where it does not read so."""
    out, end, near = "", 0, miss.near
    for match in _SLASHED.finditer(miss.text[: miss.body]):
        day, month = (match[part] for part in order)
        date = in_year("", month, day, near) if 1 <= int(month) <= 12 else ""
        if not date:
            return ""
        out, end = f"{out}{miss.text[end : match.start()]}{date}", match.end()
        near = Near(date, date)
    line = out + miss.text[end : miss.body]
    limits = _LIMITED.search(line)
    limited = f"{line[: limits.start()]}from {limits['a']} until {limits['b']}" if limits else ""
    tail = line[limits.end() :] if limits else ""
    return next((one for one in (line, limited + tail) if reads(one)), "")


def _date_here(miss: Misread) -> bool:
    if miss.wants("DATE") or miss.wants("HOUSEHOLD"):
        return True
    return miss.wants("TO") or miss.at == miss.margin or "DAYS" in miss.expected


def _begins(miss: Misread) -> Iterator[tuple[int, int]]:
    """Where a date may begin, and its first figure: at the fault, after a weekday there, or at the
    number before."""
    weekday = _WEEKDAY_BEFORE.match(miss.text, miss.at, miss.body)
    yield miss.at, weekday.end() if weekday else miss.at
    number = _NUMBER_BEFORE.search(miss.text, miss.at)
    if number is not None:
        yield number.start(), number.start()


def _reading(miss: Misread, begin: int, first: int) -> tuple[int, list[str]] | None:
    """The end of the date that begins at a place, and the days that it can mean; None for no
    date. Before its first figure may stand a day of the week."""
    reading = first_read(DATES, miss.text, first, miss.body)
    if reading is None:
        return None
    end, days = reading
    own = miss.own_date
    back = miss.start == "record_line" and not own
    on = Near(own, own) if own else miss.near
    near = [in_year(year, month, day, on, back) for year, month, day in days]
    return end, [day for day in dict.fromkeys(near) if day and day != miss.text[begin:end]]


def in_year(year: str, month: str, day: str, near: Near, back: bool = False) -> str:
    """A date as a book writes it; where no year is given, the next one in the time of the book, or
    the last one. Empty where there is no such date."""
    now = int(near.date[:4])
    years = (year,) if year else (f"{now + n}" for n in ((1, 0, -1) if back else (-1, 0, 1)))
    days = (f"{one}-{int(month):02}-{int(day):02}" for one in years)
    good = [day for day in days if reads(f"since {day}")]
    if year or not good:
        return good[0] if good else ""
    if back:
        return next((day for day in good if day <= near.date), good[-1])
    return next((day for day in good if day >= near.least), good[-1])


FEASTS = {"christmas": "12-25", "xmas": "12-25", "christmas-eve": "12-24",
          "christmas-day": "12-25", "boxing-day": "12-26", "new-year": "01-01",
          "new-years-eve": "12-31", "halloween": "10-31"}  # fmt: skip
"""Days with a name that have the same date every year."""


def feast(words: str, near: Near) -> str:
    """The date of a day in `FEASTS`, the next one in the time of the book; empty for others."""
    name = "-".join(small(words).replace("'", "").replace("-", " ").split())
    day = FEASTS.get(name)
    return in_year("", day[:2], day[3:], near) if day else ""


def _year_last(match: re.Match[str]) -> list[tuple[str, str, str]]:
    """The days that a date can mean which ends with its year, or has a year of two digits."""
    a, b, year = match["a"], match["b"], match["y"]
    if len(year) == 2:
        if match["sep"] == "-":
            return [(f"20{int(a):02}", b, year)]
        year = f"20{year}"
    return [(year, b, a)] if match["sep"] == "." else [(year, b, a), (year, a, b)]


def _in_order(match: re.Match[str]) -> list[tuple[str, str, str]]:
    return [(match["y"], match["m"], match["d"])]


def _with_month(match: re.Match[str]) -> list[tuple[str, str, str]]:
    month = MONTHS.index(month_name(match["month"])) + 1
    return [(match["year"], str(month), match["day"])]


DATES: tuple[tuple[str, Callable[[re.Match[str]], list[tuple[str, str, str]]]], ...] = (
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
    (rf"{_DAY}(?: of)?{_GAP}{_MONTH}(?:{_GAP}{_YEAR}|{_NO_YEAR})", _with_month),
    (rf"{_MONTH}{_GAP}(?:the )?{_DAY}(?! *{MONTH})(?:{_GAP}{_YEAR}|{_NO_YEAR})", _with_month),
)
"""Dates in other orders, with other signs or with words: the year, if given, the month and the
day."""


def _day_text(day: str) -> str:
    return f"{int(day[8:])} {MONTHS[int(day[5:7]) - 1].capitalize()}"

"""Spans in loose words: which days `4-18 july`, `2026-07-04 for 2 weeks` or `next week` are."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

from ledger.text.hints.dates import DATES, in_year
from ledger.text.hints.facts import Near
from ledger.text.hints.misread import LONGEST, Hint, Misread
from ledger.text.hints.reading import Edit, reads
from ledger.text.hints.vocabulary import (
    DATE,
    DAY,
    DAYS_AHEAD,
    MONTH,
    NAME,
    NUMBER,
    THROUGH,
    TITLE,
    Pattern,
    any_of,
    day_name,
    matched,
    month_name,
    number_in,
    small,
)
from ledger.text.values import DAYS, MONTHS

_SIGN = Pattern(r"[,;&+/:=]+")
_YEAR = r"(?: *,? (?P<year>(?:19|20)[0-9]{2}))?"
_NTH = r"(?:st|nd|rd|th|\.)?"
ANOTHER_DAY = '"{}" names another day each time it is read'
_OTHER_DAYS = '"{}" names other days each time it is read'
_A_MONTH = "days go by dates here, not by months"
_LOOSE = '"{}" is not how a book writes a date'
_SHORT = "a date has its year, its month and its day"


class Piece(NamedTuple):
    """What some words say: `days`, `length`, `short` for a day of the month or year that is named
    before, or the kind of a word."""

    kind: str
    text: str
    first: str = ""
    last: str = ""
    note: str = ""
    """Why these words are not how a book says it."""
    is_example: bool = False
    """True for days that do not follow from the book."""


@dataclass
class Said:
    """The spans that some words say, and what else stands among them."""

    spans: list[list[str]] = field(default_factory=list)
    """The first and the last day of each; no last day where none is said."""
    others: list[Piece] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    is_example: bool = False
    is_open: bool = False
    """True where the words say `from` before a day that has no end."""

    @property
    def text(self) -> str:
        """The spans as a book writes them."""
        if self.is_open and len(self.spans) == 1 and not self.spans[0][1]:
            return f"from {self.spans[0][0]}"
        return ", ".join(
            first if last in ("", first) else f"{first} to {last}" for first, last in self.spans
        )


def later(date: str, days: int) -> str:
    """The date some days later; empty where the calendar has none."""
    try:
        return str(datetime.date.fromisoformat(date) + datetime.timedelta(days))
    except (ValueError, OverflowError):
        return ""


def month_span(month: str, year: str, date: str) -> tuple[str, str]:
    """The first and the last day of a month; of the one that is not over where no year is given."""
    number = MONTHS.index(month_name(month)) + 1
    over = number < int(date[5:7])
    first = f"{year or int(date[:4]) + over}-{number:02}-01"
    return first, later(f"{later(first, 31)[:8]}01", -1)


RELATIVE = (
    rf"{any_of(DAYS_AHEAD)}|(?:(?:next|this|the) )?{DAY}"
    r"|(?:next|this|the|rest of the) (?:week|month|weekend)"
)
"""Words that mean other days each time they are read."""


def coming(words: str, date: str) -> tuple[str, str]:
    """The days that words of `RELATIVE` mean on a date."""
    *before, word = small(words).split()
    today = datetime.date.fromisoformat(date).weekday()
    ahead = 7 if "next" in before else 0
    if word == "weekend":
        return later(date, 5 - today + ahead), later(date, 6 - today + ahead)
    if word == "week":
        return later(date, 7 - today if ahead else 0), later(date, 6 - today + ahead)
    if word == "month":
        month = (int(date[5:7]) - 1 + bool(ahead)) % 12
        first, last = month_span(MONTHS[month], "", date)
        return (first if ahead else date), last
    away = DAYS_AHEAD.get(word)
    on = (DAYS.index(day_name(word)) - today) % 7 if away is None else away
    return later(date, on), ""


def _relative(match: re.Match[str], near: Near) -> Piece:
    first, last = coming(match[0], near.date)
    note = (_OTHER_DAYS if last else ANOTHER_DAY).format(match[0])
    return Piece("days", match[0], first, last, note, is_example=True)


def _month(match: re.Match[str], near: Near) -> Piece:
    return Piece(
        "days", match[0], *month_span(match["month"], match["year"] or "", near.date), _A_MONTH
    )


_PART_OF_MONTH = (
    rf"(?:the )?(?P<part>end|start|beginning|middle|mid)(?: of)? (?P<month>{MONTH}){_YEAR}"
)


def _part_of_month(match: re.Match[str], near: Near) -> Piece:
    first, last = month_span(match["month"], match["year"] or "", near.date)
    middle = later(first, 14)
    day = {"end": last, "middle": middle, "mid": middle}.get(small(match["part"]), first)
    return Piece("days", match[0], day, "", _LOOSE.format(match[0]), is_example=True)


def _days_of_month(match: re.Match[str], near: Near) -> Piece | None:
    month = str(MONTHS.index(month_name(match["month"])) + 1)
    first, last = (in_year(match["year"] or "", month, match[day], near) for day in "ab")
    if not first or not last:
        return None
    return Piece("days", match[0], first, last, _LOOSE.format(match[0]))


def _length(match: re.Match[str], _near: Near) -> Piece:
    unit = {"week": 7, "fortnight": 14, "month": 30}.get(small(match["unit"]), 1)
    days = str(number_in(match["n"]) * unit)
    return Piece("length", match[0], days, note=f'"{match[0]}" does not name the last day')


def _from_now(match: re.Match[str], near: Near) -> Piece:
    days = int(_length(match, near).first)
    note = ANOTHER_DAY.format(match[0])
    return Piece("days", match[0], later(near.date, days), "", note, is_example=True)


def _whole_date(match: re.Match[str], _near: Near) -> Piece | None:
    return Piece("days", match[0], match[0]) if reads(f"since {match[0]}") else None


def _loose(read: Callable[[re.Match[str]], list[tuple[str, str, str]]]) -> _Read:
    def day(match: re.Match[str], near: Near) -> Piece | None:
        days = {one for parts in read(match) if (one := in_year(*parts, near))}
        if len(days) != 1:
            return None
        return Piece("days", match[0], days.pop(), "", _LOOSE.format(match[0]))

    return day


def _kind(kind: str) -> _Read:
    return lambda match, _near: Piece(kind, match[0])


_Read = Callable[[re.Match[str], Near], Piece | None]
_ROWS: tuple[tuple[str, _Read], ...] = (
    (TITLE, _kind("title")),
    (
        rf"(?P<a>[0-9]{{1,2}}){_NTH}{THROUGH}(?P<b>[0-9]{{1,2}}){_NTH} (?:of )?(?P<month>{MONTH})"
        rf"{_YEAR}",
        _days_of_month,
    ),
    (
        rf"(?P<month>{MONTH}) (?P<a>[0-9]{{1,2}}){_NTH}{THROUGH}(?P<b>[0-9]{{1,2}}){_NTH}{_YEAR}",
        _days_of_month,
    ),
    (DATE, _whole_date),
    *((pattern, _loose(read)) for pattern, read in DATES),
    (
        r"(?P<d>[0-9]{1,2})\.(?P<m>[0-9]{1,2})\.?",
        _loose(lambda found: [("", found["m"], found["d"])]),
    ),
    (_PART_OF_MONTH, _part_of_month),
    (rf"(?P<month>{MONTH}){_YEAR}", _month),
    (RELATIVE, _relative),
    (rf"in (?P<n>{NUMBER}) (?P<unit>day|week|month)s?", _from_now),
    (r"(?:until|till) further notice|for now", _kind("open")),
    (rf"(?:for )?(?P<n>{NUMBER}) (?P<unit>day|night|week|fortnight|month)s?", _length),
    (r"[0-9]{2}-[0-9]{2}|[0-9]{1,2}", _kind("short")),
    (r"(?:to|until|till|til|through|thru|up to|before|-+>?|[‐‑–—−→>~]+|\.{2,3})", _kind("to")),
    (
        r"(?:from|since|starting|starts?|beginning|begins?|as of)(?: (?:from|on|at))?",
        _kind("from"),
    ),
    (r"by|for|with", _kind("by")),
    (r"(?:except|excluding|but|without|not)(?: (?:for|not))?", _kind("not")),
    (r"and|or|plus", _kind("and")),
    (r"on|in|at|is|are|was|the|of|between|over|during", _kind("filler")),
    (NAME, _kind("word")),
)


def _pieces(text: str, near: Near) -> list[Piece] | None:
    """What the words of a text say, one after the other; None where some say nothing."""
    out: list[Piece] = []
    at = 0
    while at < len(text):
        sign = _SIGN.match(text, at)
        if text[at] in " \t":
            at += 1
        elif sign is not None:
            out.append(Piece("and", sign[0]))
            at = sign.end()
        else:
            piece = _piece(text, at, near)
            if piece is None:
                return None
            out.append(piece)
            at += len(piece.text)
    return out


def _piece(text: str, at: int, near: Near) -> Piece | None:
    found = ((matched(pattern)(text, at, len(text)), read) for pattern, read in _ROWS)
    pieces = (read(match, near) for match, read in found if match is not None)
    return next((piece for piece in pieces if piece is not None), None)


_BETWEEN = re.compile(r"\bbetween[\t\x20](.+?)[\t\x20]and\b")


def said(text: str, near: Near) -> Said | None:
    """The spans that a text says, in the time of the book; None where it cannot be told."""
    out, to, days = Said(), False, 0
    found = _pieces(_BETWEEN.sub(r"\1 to", text), near) if len(text) <= LONGEST else None
    if found is None:
        return None
    for piece in found:
        if piece.kind == "short" and out.spans:
            begin = out.spans[-1][0]
            full = begin[: -len(piece.text.zfill(2))] + piece.text.zfill(2)
            if not reads(f"since {full}"):
                return None
            piece = Piece("days", piece.text, full, note=_SHORT)
        if piece.note:
            out.notes.append(piece.note)
        out.is_example |= piece.is_example
        match piece.kind:
            case "days":
                if not _add(out, piece, near, to, days):
                    return None
                to, days = False, 0
            case "length" if out.spans:
                out.spans[-1][1] = later(out.spans[-1][0], int(piece.first) - 1)
            case "length":
                days = int(piece.first)
            case "to":
                to = True
            case "open":
                out.is_open = True
            case "from":
                if out.spans:
                    return None
                out.is_open = True
            case "short":
                return None
            case _:
                out.others.append(piece)
    if days:
        out.spans.append([near.date, later(near.date, days - 1)])
        out.is_example = True
    if out.is_open and len(out.spans) > 1:
        out.notes.append("`from` stands before one date, and goes on from there")
    return out


def _add(out: Said, piece: Piece, near: Near, to: bool, days: int) -> bool:
    """Adds days to the spans, or ends the last one with them. False where they end too early."""
    first, last = piece.first, piece.last
    if not to:
        out.spans.append([first, later(first, days - 1) if days else last])
        return True
    if not out.spans:
        out.notes.append("the line does not say the first day")
        out.is_example = True
        out.spans.append([near.date, ""])
    begin = out.spans[-1][0]
    if piece.note and (last or first) < begin:
        again = _piece(piece.text, 0, Near(begin, begin))
        first, last = (again.first, again.last) if again else (first, last)
    out.spans[-1][1] = last or first
    return begin <= out.spans[-1][1]


_BEHIND = Pattern(rf"(?:\A(?P<line>{DATE}) .*|(?P<first>{DATE}) to )\Z")
_RELATIVE = matched(RELATIVE)
_DAY = matched(DAY)


def no_date(miss: Misread) -> Hint | None:
    """`today`, `tomorrow` or a day of the week in place of a date."""
    match = _RELATIVE(miss.text, miss.at, miss.body)
    if match is None or not miss.wants("DATE") or "DAY" in miss.expected:
        return None
    if "EVERY" in miss.expected and _DAY(match[0], 0, len(match[0])):
        return None
    before = _BEHIND.search(miss.text, miss.at)
    own, begin = before.group("line", "first") if before else (None, None)
    date = own or max(miss.date, begin or "")
    if not reads(f"since {date}"):
        return None
    first, last = coming(match[0], date)
    edit = Edit(miss.at, match.end(), last if before and last else first)
    message = ANOTHER_DAY.format(match[0])
    fix = "write its date, such as {}"
    return Hint(message, fix, (edit,), match.end(), is_example=True)


_LIMIT = matched(rf"(?:{_PART_OF_MONTH}|(?P<alone>{MONTH}){_YEAR.replace('year', 'its_year')})")


def month_for_date(miss: Misread) -> Hint | None:
    """A month behind `from` or `until`."""
    match = _LIMIT(miss.text, miss.at, miss.body)
    if match is None or not miss.wants("DATE"):
        return None
    if match["alone"]:
        span = month_span(match["alone"], match["its_year"] or "", miss.date)
        ends = miss.head.endswith(("until", "to")) and miss.start != "record_line"
        day = span[ends]
    else:
        day = _part_of_month(match, miss.near).first
    edit = Edit(miss.at, match.end(), day)
    message = f'"{match[0]}" is no date'
    return Hint(message, "write its date, such as {}", (edit,), match.end(), is_example=True)

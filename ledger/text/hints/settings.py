"""Near misses of declarations: words in another order, several values, other forms of a time."""

from __future__ import annotations

import re

from ledger.text.hints.misread import Hint, Misread, a_line_each
from ledger.text.hints.reading import Edit, applied, gets_past, reads
from ledger.text.hints.slips import Slip, Words
from ledger.text.hints.vocabulary import (
    AND,
    DAY,
    THROUGH,
    Pattern,
    days_in,
    small,
)

_LIST = Pattern(
    r"(?P<what>person|persons|people|area|areas|rooms?|places?) *:? (?P<names>"
    r"[^\s,;&+\"#]+(?: *(?:[,;&+]|\band\b) *(?:and )?[^\s,;&+\"#]+)+) *\Z",
    re.IGNORECASE,
)
_DAYS = rf"{DAY}(?:(?:{AND}|{THROUGH}){DAY})*"
_WEEKEND = Pattern(
    r"(?:(?:the )?weekends?(?: *[=:]| (?:is|are|starts?|on|from|falls|of))* *"
    rf"(?P<a>{_DAYS})|(?P<b>{_DAYS}) (?:is|are) (?:the )?weekends?"
    rf"|(?:is|are) (?:the )?weekends? (?P<c>{_DAYS}))\Z",
    re.IGNORECASE,
)
_WEEK = Pattern(
    r"(?:(?:the )?weeks?(?: *[=:]| (?:starts?|begins?|is|from|first|on|with|day))*"
    rf" *(?P<a>{_DAYS})"
    rf"|(?:first day|starts?|begins?) (?:(?:of|the|week|is|on) )*(?P<b>{_DAYS})"
    rf"|(?P<c>{_DAYS}) starts? (?:the )?week)\Z",
    re.IGNORECASE,
)
_AND = Pattern(r" *(?:[,;&+/]|\band\b) *")


def _clock(words: Words) -> str:
    if words["midnight"]:
        return "00:00"
    hour, minute = int(words["h"]), int(words["m"] or words["four"] or 0)
    if words["half"]:
        hour = hour % 12 + (12 if small(words["half"]) == "p" else 0)
    return f"{hour:02}:{minute:02}"


TIME = Slip(
    "CLOCK",
    r"(?:at )?(?:(?P<midnight>midnight|24:00)"
    r"|(?P<h>[0-9]{1,2})(?:[:.h](?P<m>[0-9]{2})(?::[0-9]{2})?|(?P<four>[0-9]{2}))?"
    r" *(?:h|hours?|o'?clock|(?P<half>[ap])\.?m\.?)?)",
    _clock,
    '"{wrong}" is not how a book writes a time',
)
"""A time in another form than `HH:MM`."""


def _line(miss: Misread, new: str, message: str, fix: str = "write {}") -> Hint | None:
    """A hint that rewrites the words of the whole line, or None if they still cannot be read."""
    edit = Edit(miss.margin, miss.body, new)
    if not gets_past(miss.text, edit) or not reads(applied(miss.text, edit)):
        return None
    return Hint(message, fix, (edit,), miss.body, whole=True)


def one_a_line(miss: Misread) -> Hint | None:
    """Several people or areas in one line."""
    match = _LIST.match(miss.words)
    if match is None:
        return None
    what = "person" if small(match["what"]) in ("person", "persons", "people") else "area"
    names = _AND.split(match["names"])
    lines = [f"{what} {name}" for name in names]
    if len(names) < 2 or not all(reads(line) for line in lines):
        return None
    message = f"a line names one {what}, and this one names {len(names)}"
    return a_line_each(message, lines, 6, miss.body, miss.body)


def week(miss: Misread) -> Hint | None:
    """The first day of the week, or the days of the weekend, in other words."""
    if miss.start != "declaration_line":
        return None
    words = miss.words
    match = _WEEKEND.match(words)
    if match is not None:
        days = days_in(match["a"] or match["b"] or match["c"])
        message = "`weekend is` stands before its days, with commas between them"
        return _line(miss, "weekend is " + ", ".join(days), message)
    match = _WEEK.match(words)
    if match is None:
        return None
    day, *others = days_in(match["a"] or match["b"] or match["c"])
    message = "a week starts on one day" if others else "`week starts` stands before its day"
    return _line(miss, f"week starts {day}", message)

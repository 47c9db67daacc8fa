"""Near misses of declarations: words in another order, several values, other forms of a time."""

from __future__ import annotations

import re

from ledger.text.hints.durations import UNITS
from ledger.text.hints.headers import AND, DAY, THROUGH, days_in
from ledger.text.hints.miss import (
    NAME,
    Edit,
    Hint,
    Miss,
    Pattern,
    a_line_each,
    applied,
    gets_past,
    matched,
    reads,
)

_LIST = Pattern(
    r"(?P<what>person|persons|people|area|areas|rooms?|places?)[ \t]*:?[ \t]+(?P<names>"
    r"[^\s,;&+\"#]+(?:[ \t]*(?:[,;&+]|\band\b)[ \t]*(?:and[ \t]+)?[^\s,;&+\"#]+)+)[ \t]*\Z",
    re.IGNORECASE,
)
_WHO = rf"(?:{DAY}|weekdays?|weekends?|[^\W\d_][\w-]*)"
_DURATION = r"[0-9]{1,4}[ \t]*[a-z.]+(?:[ \t]+[0-9]{1,2}[ \t]*[a-z.]+)?"
_LIMIT = Pattern(
    rf"(?:limit[ \t]+(?P<d1>{_DURATION})"
    rf"[ \t]+(?:(?:for|on|per|a|each|every|at|in)[ \t]+)*(?P<w1>{_WHO})"
    rf"|(?P<w2>{_WHO})[ \t]+limit[ \t]*[:=]?[ \t]*(?P<d2>{_DURATION})"
    rf"|(?P<w3>{DAY}|weekdays?|weekends?)[ \t]*[:=]?[ \t]*(?P<d3>{_DURATION}))[ \t]*\Z",
    re.IGNORECASE,
)
_LIMITS = Pattern(
    rf"limit[ \t]+(?P<who>{_WHO}(?:[ \t]*(?:,|&|\+|/|\band\b)[ \t]*{_WHO})+)"
    rf"[ \t]+(?P<d>{_DURATION})[ \t]*\Z",
    re.IGNORECASE,
)
_TIME = matched(
    r"(?:at[ \t]+)?(?P<h>[0-9]{1,2})(?:[:.h](?P<m>[0-9]{2})(?::[0-9]{2})?|(?P<four>[0-9]{2}))?"
    r"[ \t]*(?:h|hours?|o'?clock|(?P<half>[ap])\.?m\.?)?"
)
_MIDNIGHT = matched(r"(?:at[ \t]+)?(?:midnight|24:00)")
_DAYS = rf"{DAY}(?:(?:{AND}|{THROUGH}){DAY})*"
_WEEKEND = Pattern(
    r"(?:(?:the[ \t]+)?weekends?(?:[ \t]*[=:]|[ \t]+(?:is|are|starts?|on|from|falls|of))*[ \t]*"
    rf"(?P<a>{_DAYS})|(?P<b>{_DAYS})[ \t]+(?:is|are)[ \t]+(?:the[ \t]+)?weekends?"
    rf"|(?:is|are)[ \t]+(?:the[ \t]+)?weekends?[ \t]+(?P<c>{_DAYS}))\Z",
    re.IGNORECASE,
)
_WEEK = Pattern(
    r"(?:(?:the[ \t]+)?weeks?(?:[ \t]*[=:]|[ \t]+(?:starts?|begins?|is|from|first|on|with|day))*"
    rf"[ \t]*(?P<a>{_DAYS})"
    rf"|(?:first[ \t]+day|starts?|begins?)[ \t]+(?:(?:of|the|week|is|on)[ \t]+)*(?P<b>{_DAYS})"
    rf"|(?P<c>{_DAYS})[ \t]+starts?[ \t]+(?:the[ \t]+)?week)\Z",
    re.IGNORECASE,
)
_PEOPLE = rf"{NAME}(?:[ \t]*(?:,|and|&)[ \t]*{NAME})*"
_ISO = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_AWAY = Pattern(
    rf"away[ \t]+(?:(?P<who1>(?!from\b){_PEOPLE})[ \t]+)?(?:from[ \t]+)?(?P<a>{_ISO})"
    rf"(?:[ \t]+(?:by|for|with)[ \t]+(?P<who2>{_PEOPLE}))?"
    rf"(?:[ \t]+(?:to|until|till|-|–|and)[ \t]+(?P<b>{_ISO}))?"
    r"(?P<tail>[ \t].*)?\Z",
    re.IGNORECASE,
)


def _line(miss: Miss, new: str, message: str, fix: str = "write {}") -> Hint | None:
    """A hint that writes the words of the whole line anew, if they then read."""
    edit = Edit(miss.margin, miss.body, new)
    if not gets_past(miss.text, edit) or not reads(applied(miss.text, edit)):
        return None
    return Hint(message, fix, (edit,), miss.body, whole=True)


def _words(miss: Miss) -> str:
    return miss.text[miss.margin : miss.body]


def one_a_line(miss: Miss) -> Hint | None:
    """Several people or areas in one line."""
    found = _LIST.match(_words(miss))
    if found is None:
        return None
    what = "person" if found["what"].lower() in ("person", "persons", "people") else "area"
    names = [name for name in re.split(r"[ \t]*(?:[,;&+]|\band\b)[ \t]*", found["names"]) if name]
    lines = [f"{what} {name}" for name in names]
    if len(names) < 2 or not all(reads(line) for line in lines):
        return None
    message = f"a line names one {what}, and this one names {len(names)}"
    return a_line_each(message, lines, 6, miss.body, miss.body)


def limit(miss: Miss) -> Hint | None:
    """The words of a limit in another order, or several limits in one line."""
    words = _words(miss)
    several = _LIMITS.match(words)
    if several is not None:
        names = re.split(r"[ \t]*(?:,|&|\+|/|\band\b)[ \t]*", several["who"])
        lines = [f"limit {name} {_plain_duration(several['d'])}" for name in names if name]
        if not all(reads(line) for line in lines):
            return None
        message = f"a line sets one limit, and this one sets {len(lines)}"
        return a_line_each(message, lines, 7, miss.body, miss.body)
    found = _LIMIT.match(words)
    if found is None and re.match(rf"limit[ \t]+{_DURATION}\Z", words):
        edit = Edit(miss.at, miss.at, "weekday ")
        message = "the line does not say whose limit this is"
        return Hint(message, "write it, such as {}", (edit,), whole=True, is_example=True)
    if found is None:
        return None
    who = (found["w1"] or found["w2"] or found["w3"]).lower()
    who = who[:-1] if who in ("weekdays", "weekends") else who
    if re.fullmatch(DAY, who, re.IGNORECASE):
        who = days_in(who)[0]
    minutes = _plain_duration(found["d1"] or found["d2"] or found["d3"])
    return _line(miss, f"limit {who} {minutes}", "a limit says whose it is, then how long")


def _plain_duration(said: str) -> str:
    return re.sub(
        r"([0-9]+)[ \t]*([a-z.]+)",
        lambda m: f"{m[1]} {UNITS.get(m[2].lower(), m[2].lower())}",
        said.strip(),
        flags=re.IGNORECASE,
    )


def time(miss: Miss) -> Hint | None:
    """A time in another form than `HH:MM`."""
    if not miss.wants("CLOCK"):
        return None
    midnight = _MIDNIGHT(miss.text, miss.at, miss.body)
    found = _TIME(miss.text, miss.at, miss.body)
    if midnight is not None:
        end, right = midnight.end(), "00:00"
    elif found is not None:
        hour, minute = int(found["h"]), int(found["m"] or found["four"] or 0)
        hour = hour % 12 + (12 if found["half"].lower() == "p" else 0) if found["half"] else hour
        end, right = found.end(), f"{hour:02}:{minute:02}"
    else:
        return None
    said = miss.text[miss.at : end]
    edit = Edit(miss.at, end, right)
    return Hint(f'"{said}" is not how a book writes a time', "write {}", (edit,), end)


def week(miss: Miss) -> Hint | None:
    """The first day of the week, or the days of the weekend, in other words."""
    if miss.start != "declaration_line":
        return None
    words = _words(miss)
    found = _WEEKEND.match(words)
    if found is not None:
        days = days_in(found["a"] or found["b"] or found["c"])
        message = "`weekend is` stands before its days, with commas between them"
        return _line(miss, "weekend is " + ", ".join(days), message)
    found = _WEEK.match(words)
    if found is None:
        return None
    day, *others = days_in(found["a"] or found["b"] or found["c"])
    message = "a week starts on one day" if others else "`week starts` stands before its day"
    return _line(miss, f"week starts {day}", message)


def away(miss: Miss) -> Hint | None:
    """The words of an absence in another order."""
    found = _AWAY.match(_words(miss))
    if found is None:
        return None
    who = found["who1"] or found["who2"]
    new = f"away {found['a']}" + (f" to {found['b']}" if found["b"] else "")
    if who:
        new += " by " + re.sub(r"[ \t]*(?:,|\band\b|&)[ \t]*", ", ", who)
    tail = (found["tail"] or "").strip()
    titled = re.match(r'("(?:[^"\\]|\\.)*")[ \t]*(?:by|for)[ \t]+(.+)', tail)
    if titled is not None and not who:
        new, tail = f"{new} by {titled[2]}", titled[1]
    message = "the dates come first, then `by`, then the title"
    if not who and titled is None:
        message = "the dates stand right behind `away`"
    return _line(miss, f"{new} {tail}".rstrip(), message)

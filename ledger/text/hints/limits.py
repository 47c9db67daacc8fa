"""Near misses of limits: other words, another order, several in a line, limits of a week."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product

from ledger.text.hints.day_lists import written_apart
from ledger.text.hints.durations import MEASURES
from ledger.text.hints.misread import LONGEST, Hint, Line, Misread, a_line_each
from ledger.text.hints.reading import Edit, reads
from ledger.text.hints.slips import SAYS
from ledger.text.hints.vocabulary import (
    DATE,
    DAY,
    MONTH,
    NAME,
    THROUGH,
    Pattern,
    days_in,
    first_read,
    matched,
    month_name,
    small,
)
from ledger.text.values import DAYS

_VERB = r"limits?|max(?:imum)?|budget|cap|at most|no more than|up to"
_KIND = rf"{DAY}|weekdays?|weekends?"
_LINE = Pattern(
    rf"(?:(?P<verb>{_VERB})(?![^\s:]) *:? *"
    rf"|(?=(?:{_KIND})(?: (?:{_VERB}))? *[:=]? *[0-9]|(?P<who>{NAME}) (?:{_VERB}|[0-9])))"
    r"(?P<rest>.*)\Z"
)
_MOST = 7

_ORDER = "a limit says whose it is, then how long"
_NOTHING = matched(r"(?:no|zero|0) (?:minutes?|mins?|time)|nothing|none|zero|off|rest|free")
_FREE = matched(r"(?:un|not )limited|no limits?|without limits?")
_DAYS = matched(rf"{DAY}{THROUGH}{DAY}")
_ONE = matched(rf"(?P<day>{DAY})|(?P<kind>week(?:day|end))s?|work(?:ing)?(?:-| )?days?")
_EVERY_DAY = matched(r"(?:(?:an?|per|each|every|all|any) )?days?|daily")
_NO_DAY = matched(
    r"(?:(?:an?|per|each|every|the) )*"
    r"(?:(?:week|month)ly|(?:week|month|year|morning|evening|hour)s?)"
)
_EVERYONE = matched("everyone|everybody|all|(?:each|every) (?:person|one)|us|we")
_NOT = matched("not|except(?: for)?|but|without")
_FILLER = matched(
    rf"{_VERB}|on|at|for|per|an?|in|to|is|under|below|not more than|about|of"
    rf"|only|the|each|every|and|or|during|by|="
)
_WHEN = matched(rf"(?P<date>{DATE}(?: to {DATE})?)|(?P<month>{MONTH})")
_WORD = matched(NAME)
_SIGNS = " \t,;&+/<>≤"
_COLONS = str.maketrans(":=", "  ")


@dataclass
class _Limit:
    """Whose limit it is, for which days, and how long."""

    people: list[str] = field(default_factory=list)
    kinds: list[str] = field(default_factory=list)
    long: list[str] = field(default_factory=list)
    every_day: bool = False
    other: str = ""
    """Words for more or less than a day."""
    area: str = ""
    is_free: bool = False
    is_denied: bool = False
    """True where it is for all days but those named."""
    when: str = ""
    """Dates or a month, which only named days can be."""


def limit(line: Line) -> Hint | None:
    """A limit in other words or another order, or several limits in one line."""
    match = _LINE.match(line.words) if len(line.text) <= LONGEST else None
    if match is None or (match["who"] and match["who"] not in line.people):
        return None
    found = _limit(line, line.margin + match.start("rest"))
    if found is not None and found.is_free:
        return Hint("without a line for it there is no limit", "delete the line")
    if found is None or not found.long:
        return None
    if found.is_denied:
        found.kinds = [day for day in DAYS if day not in found.kinds]
    if len(found.long) > 1:
        return _pairs(line, found)
    return _several(line, found) or _one(line, found, match["verb"])


def _limit(line: Line, at: int) -> _Limit | None:
    out = _Limit()
    while at < line.body:
        if line.text[at].translate(_COLONS) in _SIGNS:
            at += 1
            continue
        end = _word(line, at, out)
        if end is None:
            return None
        at = end
    return out


def _word(line: Line, at: int, out: _Limit) -> int | None:
    """The end of the words that begin at a place, which are added to the limit."""
    text, body = line.text.translate(_COLONS), line.body
    named = written_apart(text, at, line.days)
    if named is not None:
        out.kinds.append(named[0])
        return named[1]
    measure = first_read(MEASURES, text, at, body)
    if measure is not None:
        out.long.append(measure[1])
        return measure[0]
    if match := _FREE(text, at, body):
        out.is_free = True
    elif match := _NOTHING(text, at, body):
        out.long.append("0 min")
    elif match := _NO_DAY(text, at, body):
        out.other = match[0]
    elif match := _EVERY_DAY(text, at, body):
        out.every_day = True
    elif match := _DAYS(text, at, body):
        out.kinds += days_in(match[0])
    elif match := _ONE(text, at, body):
        out.kinds.append(
            days_in(match[0])[0] if match["day"] else small(match["kind"] or "weekday")
        )
    elif match := _WHEN(text, at, body):
        out.when = match["date"] or f"every {month_name(match[0])}"
    elif match := _EVERYONE(text, at, body):
        out.people += line.people
    elif match := _NOT(text, at, body):
        out.is_denied = True
    elif match := _FILLER(text, at, body):
        pass
    elif match := _WORD(text, at, body):
        name = match[0]
        is_days = name in line.days or (isinstance(line, Misread) and not line.people)
        if name in line.areas and name not in line.people:
            out.area = name
        elif name in line.people or is_days:
            (out.people if name in line.people else out.kinds).append(name)
        else:
            return None
    return match.end() if match else None


def _pairs(line: Line, found: _Limit) -> Hint | None:
    """Several limits, each with its own minutes."""
    whose = found.people or found.kinds
    if len(whose) != len(found.long) or (found.people and found.kinds):
        return None
    return _each(line, [f"limit {who} {long}" for who, long in zip(whose, found.long, strict=True)])


def _each(line: Line, lines: list[str]) -> Hint | None:
    if not all(map(reads, lines)):
        return None
    message = f"a line sets one limit, and this one sets {len(lines)}"
    return a_line_each(message, lines, _MOST, line.body, line.body)


def _several(line: Line, found: _Limit) -> Hint | None:
    """Limits for days that one line cannot name, or more than one limit."""
    (long,) = found.long
    if found.when:
        who = " ".join([*found.people, "short-days"])
        lines = [f"days short-days {found.when}", f"limit {who} {long}"]
        if found.kinds or not all(map(reads, lines)):
            return None
        edits = tuple(Edit(line.margin, line.body, new) for new in lines)
        message = "a limit is for days of the week or named days"
        fix = "name the days, such as by {} and {}"
        return Hint(message, fix, edits, line.body, True, is_example=True, lines=2)
    kinds = found.kinds
    if found.every_day and not found.people and not kinds:
        kinds = ["weekday", "weekend"]
    whose = product(dict.fromkeys(found.people) or [""], dict.fromkeys(kinds) or [""])
    lines = [" ".join(f"limit {who} {kind} {long}".split()) for who, kind in whose]
    return _each(line, lines) if len(lines) > 1 and not found.other else None


def _one(line: Line, found: _Limit, verb: str | None) -> Hint | None:
    whose = " ".join([*found.people[:1], *found.kinds[:1]])
    new, message, fix = f"limit {whose} {found.long[0]}", _ORDER, ""
    if found.other:
        new = f"limit {whose or 'weekday'} 30 min"
        message, fix = f'a limit is for a day, not for "{found.other}"', "write one, such as {}"
    elif found.area:
        new = f"limit weekday {found.long[0]}"
        message, fix = "a limit is for days or people, not for an area", "write one, such as {}"
    elif found.every_day and whose:
        message = "a limit is for one day already"
    elif found.long == ["0 min"]:
        fix = "write {} for no time at all; without the line there is no limit"
    elif not whose:
        new = f"limit weekday {found.long[0]}"
        message, fix = "the line does not say whose limit this is", "write it, such as {}"
    elif verb not in ("limit", None):
        message = SAYS.format(new="limit", wrong=verb)
    if new == " ".join(line.words.replace(":", " ").split()) or not reads(new):
        return None
    edit = Edit(line.margin, line.body, new)
    return Hint(message, fix or "write {}", (edit,), line.body, True, is_example="such as" in fix)

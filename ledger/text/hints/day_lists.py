"""Near misses of `during` and `except`: other words for them, and lists in loose words."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from ledger.text.hints.dates import feast
from ledger.text.hints.misread import LONGEST, Hint, Line, Misread
from ledger.text.hints.reading import Edit, applied, gets_past, reads
from ledger.text.hints.slips import SAYS, Slip
from ledger.text.hints.spans import said
from ledger.text.hints.vocabulary import (
    DATE,
    DAY,
    MONTH,
    NAME,
    SEASONS,
    THROUGH,
    Pattern,
    any_of,
    days_in,
    matched,
    month_name,
    small,
)
from ledger.text.values import ORDINALS

_FILLER = r"(?:on|in|for|at|the|any|all|every|each|of|during|only)"
_NOT = (
    r"(?:(?:but|and|just) )?(?:not|except(?:ing|ed)?|excl?\.?|excluding|exclude|without"
    r"|apart from|aside from|other than|outside|unless|skip(?:ping|s|ped)?|save|minus|no|never"
    r"|omit)"
    r"(?: (?:for|from))?|but(?! (?:only|just))"
)
_ONLY = r"(?:but )?(?:only|just)(?: (?:in|on|during|for))?|in|while|throughout|during"
_BEGINS = matched(rf"(?:(?P<no>(?:during )?{_NOT})|(?P<yes>{_ONLY})) *:?")
_FILLERS = Pattern(rf" *(?:{_FILLER} )*")
_LAST = Pattern(
    r"\b(?P<clause>except[\t\x20]+during|during|except)[\t\x20](?!.*[\t\x20\"](?:during|except)[\t\x20])"
)
_CLAUSE = Pattern(r"\b(?:during|except) ")
_END = Pattern(
    rf" *(?:\"|#|\Z|(?:within|vital|expires|spare|paused|uses|by|except|during)(?![^\s])"
    rf"|(?:from|until|after) {DATE}|[0-9]+ (?:min|h)(?![^\s]))"
)
_PARTS = Pattern(r" *(?:[,;/&+] *)?(?:(?:and|or|nor|plus)(?![^\s]))? *")
_SPAN_OF_DAYS = matched(rf"{DAY}{THROUGH}{DAY}")
_SPAN = matched(rf"(?P<a>{MONTH}){THROUGH}(?P<b>{MONTH})")
_ONE = matched(rf"(?P<month>{MONTH})|(?P<day>{DAY})|(?P<kind>week(?:day|end))s?|work-?days?|week")
_SEASON = matched(any_of(SEASONS))
_WORD = matched(NAME)
_RUN = Pattern(r" *(?P<run>[^\W\d_]+(?:(?:-| )[^\W_]+){0,5})(?![^\s,])")
_PART = re.compile(r"[^\W_]+")
_DATED = matched(rf"{DATE}.*|[0-9]{{1,2}}(?:st|nd|rd|th|\.)? {MONTH}.*|{MONTH} [0-9].*")
_NO_NAMES = re.compile(
    "to|until|till|through|thru|from|and|or|except|during|but|not|without|when|if|unless|only|we|i"
    f"|{any_of(ORDINALS)}|last"
)


@dataclass
class _List:
    """The items of a list of days, as a book writes them."""

    items: list[str] = field(default_factory=list)
    end: int = 0
    is_loose: bool = False
    """True where more than a comma is missing."""
    gaps: int = 0
    """How often no comma stands before what follows."""
    unknown: bool = False
    """True where a name is none that the file declares."""
    dates: str = ""
    """Dates at the end of the list, which only named days can hold."""


def day_list(line: Line) -> Hint | None:
    """A list of days in loose words, or behind another word than `during` or `except`."""
    begins = _begins(line) if len(line.text) <= LONGEST else ()
    hints = (_hint(line, begin) for begin in begins)
    return next((hint for hint in hints if hint is not None), None)


def _day_or_name(word: str) -> str:
    """One item of a list of days, as a book writes it."""
    match = _ONE(word, 0, len(word))
    if match is None or match["month"]:
        return word
    return days_in(word)[0] if match["day"] else match["kind"] or "weekday"


NOT_BEHIND_COMMA = Slip(
    "",
    rf"{NAME}",
    lambda words: f" except {_day_or_name(words['wrong'])}",
    lambda words: f'a book says `{words["new"].strip()}`, not "{words["no"]}{words["wrong"]}"',
    before=r"\bduring [^\"]*?(?P<old> *, *(?P<no>(?:but )?(?:not|never|no) ))",
    whole=True,
)
"""`during school, not bank-holidays`."""


def _hint(line: Line, begin: int) -> Hint | None:
    match = _BEGINS(line.text, begin, line.body)
    if match is None:
        return None
    clause = "except" if match["no"] else "during"
    found = _items(line, match.end())
    found.is_loose |= match[0] != clause
    if not (found.items or found.dates) or not found.is_loose:
        return None
    day = feast(found.items[0], line.near) if found.unknown and len(found.items) == 1 else ""
    if day and match[0] != clause:
        found.dates, found.items = day, []
        return _of_dates(
            line, clause, begin, found, small(line.text[match.end() : found.end]).strip()
        )
    if found.unknown and match[0] not in ("except", "during"):
        return None
    if found.dates:
        return _of_dates(line, clause, begin, found)
    new = f"{clause} {', '.join(dict.fromkeys(found.items))}"
    edit = Edit(begin, found.end, new)
    wrong = line.text[begin : found.end]
    if new == wrong or not gets_past(line.text, edit):
        return None
    return Hint(SAYS.format(new=new, wrong=wrong), "write {}", (edit,), found.end)


def _begins(line: Line) -> Iterator[int]:
    """Where the clause may begin: at `during` or `except` before the fault, or at the fault."""
    if not isinstance(line, Misread):
        yield from (match.start() for match in _CLAUSE.finditer(line.text[: line.body]))
        return
    last = _LAST.search(line.text[: line.after])
    if last is not None and _is_list(line, last.end()):
        yield last.start("clause")
    if "DURING" in line.expected:
        yield line.at


def _is_list(line: Misread, begin: int) -> bool:
    """True where only a list of days stands between a place and the fault."""
    between = line.text[begin : line.at]
    if matched(MONTH)(line.text, line.at, line.body):
        between = between.rstrip(" \t").removesuffix("until")
    return '"' not in between and not re.search(rf"{DATE}|(?:within|from|until)\b", between)


def _items(line: Line, at: int) -> _List:
    """The items of a list that begins at a place, up to the next clause."""
    out, begin = _List(end=at), at
    while at == begin or not _END.match(line.text, at, line.body):
        item = _item(line, at, out)
        if item is None:
            break
        items, out.end = item
        out.items += items
        parts = _PARTS.match(line.text, out.end, line.body)
        at = parts.end() if parts else out.end
        out.gaps += line.text[out.end : at].isspace()
        out.is_loose |= out.gaps > 1
        if out.dates:
            break
    return out


def _past_fillers(line: Line, at: int, out: _List) -> int:
    match = _FILLERS.match(line.text, at, line.body)
    out.is_loose |= match is not None and match[0].strip(" \t") != ""
    return match.end() if match else at


def written_apart(text: str, at: int, days: frozenset[str]) -> tuple[str, int] | None:
    """A name of days at a place, with blanks for its hyphens or with `days` behind, and its end.

    None where no name stands there, or where it is written as it should be.
    """
    words = _RUN.match(text, at)
    parts = list(_PART.finditer(words["run"])) if words else []
    for count in range(len(parts), 0, -1):
        name = "-".join(part[0] for part in parts[:count])
        if words is None or name not in days:
            continue
        follows = count < len(parts) and parts[count][0] in ("days", "day", "time", "times")
        end = words.start("run") + parts[count - 1 + follows].end()
        return None if text[words.start("run") : end] == name else (name, end)
    return None


def _item(line: Line, at: int, out: _List) -> tuple[list[str], int] | None:
    apart = written_apart(line.text, at, line.days)
    if apart is not None:
        out.is_loose = True
        return [apart[0]], apart[1]
    at = _past_fillers(line, at, out)
    text, body = line.text, line.body
    if match := _DATED(text, at, body):
        out.dates, out.is_loose = match[0], True
        return [], match.end()
    if match := _SPAN(text, at, body):
        out.is_loose |= " to " not in match[0]
        return [f"{month_name(match['a'])} to {month_name(match['b'])}"], match.end()
    if match := _SPAN_OF_DAYS(text, at, body):
        out.is_loose = True
        return days_in(match[0]), match.end()
    if match := _ONE(text, at, body):
        word = small(match[0])
        out.is_loose |= word.endswith(("days", "ends")) or word.startswith("work") or word == "week"
        if match["month"]:
            return [month_name(word)], match.end()
        return ([days_in(word)[0]] if match["day"] else [match["kind"] or "weekday"]), match.end()
    if (match := _SEASON(text, at, body)) and small(match[0]) not in line.days:
        following = _WORD(text, match.end() + 1, body)
        if following is None or _END.match(text, match.end(), body):
            out.is_loose = True
            return [SEASONS[small(match[0])]], match.end()
    return _named(line, at, out)


def _named(line: Line, at: int, out: _List) -> tuple[list[str], int] | None:
    """A name of days, whose words may stand apart."""
    words, end = list[str](), at
    while (match := _WORD(line.text, at, line.body)) is not None and not _END.match(
        line.text, end, line.body
    ):
        if _NO_NAMES.fullmatch(match[0]) or (words and _ONE(line.text, at, line.body)):
            break
        words.append(match[0])
        end = match.end()
        gap = Pattern(" *").match(line.text, end, line.body)
        at = gap.end() if gap else end
    if not words:
        return None
    name = "-".join(words)
    if name not in line.days and len(words) > 1 and line.days.issuperset(words):
        return words, end
    out.unknown |= name not in line.days
    out.is_loose |= len(words) > 1
    return [name], end


def _of_dates(line: Line, clause: str, begin: int, found: _List, own: str = "") -> Hint | None:
    """Dates in a list: named days hold them; a season of one year has `from` and `until`.

    `own` is the name that the days have already.
    """
    dates = said(found.dates, line.near)
    if dates is None or not dates.text or any(one.kind != "and" for one in dates.others):
        return None
    message = f"`{clause}` takes months, days of the week and named days, not dates"
    if own:
        message = f'"{own}" is no name for days of this household'
    first, last = dates.spans[0]
    if clause == "during" and not found.items and len(dates.spans) == 1 and last:
        edit = Edit(begin, found.end, f"from {first} until {last}")
        return Hint(message, "write {}", (edit,), found.end, whole=True)
    name = own or ("days-off" if clause == "except" else "open-days")
    header = applied(
        line.text, Edit(begin, found.end, f"{clause} {', '.join([*found.items, name])}")
    )
    lines = [f"days {name} {dates.text}", header]
    if not all(map(reads, lines)):
        return None
    edits = tuple(Edit(0, len(line.text), new) for new in lines)
    fix = "name the days, such as by {} and {}"
    return Hint(message, fix, edits, found.end, whole=True, is_example=True, lines=2)

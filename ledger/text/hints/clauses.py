"""Near misses of header clauses: days of the month, seasons, spans, and what is no clause."""

from __future__ import annotations

import re

from ledger.text.hints.durations import NUMBERS
from ledger.text.hints.headers import AND, DAY, MONTH, THROUGH, day_name, days_in, month_name
from ledger.text.hints.miss import Edit, Hint, Miss, Pattern, matched
from ledger.text.values import ORDINALS

_ON = matched(
    r"(?:(?:the|day|date)[ \t]+)*(?P<n>[0-9]{1,2})(?:st|nd|rd|th|\.)?"
    r"(?:[ \t]+(?:day|date))?(?:[ \t]+(?:of|in)[ \t]+(?:the|each|every)[ \t]+month)?"
)
_ON_DAY = matched(
    r"(?:the[ \t]+)?(?P<nth>first|second|third|fourth|fifth|last|final|[1-5](?:st|nd|rd|th))"
    rf"[ \t]+(?P<day>{DAY}|day)(?:[ \t]+(?:of|in)[ \t]+(?:the|each|every)[ \t]+month)?"
)
_ON_END = matched(
    r"(?:the[ \t]+)?(?P<word>last|first|second|third|fourth|fifth|end|middle|start|beginning)"
    r"(?:[ \t]+day)?(?:[ \t]+(?:of|in)[ \t]+(?:the|each|every)[ \t]+month)?"
)
_MONTHS = matched(rf"(?P<a>{MONTH})(?:{THROUGH}|[ \t]*/[ \t]*|[ \t]+and[ \t]+)(?P<b>{MONTH})")
_SEASON = matched(
    rf"(?:(?:only|in|during|from|between|for)[ \t]+)*(?P<a>{MONTH})"
    rf"(?:(?:{THROUGH}|[ \t]+and[ \t]+)(?P<b>{MONTH}))?"
)
_SEASONS = {
    "spring": "march to may", "summer": "june to august", "autumn": "september to november",
    "fall": "september to november", "winter": "december to february",
}  # fmt: skip
_NAMED_SEASON = matched(rf"(?:(?:only|in|during|the)[ \t]+)*(?P<season>{'|'.join(_SEASONS)})")
_COUNT = rf"(?P<n>[0-9]{{1,3}}|{'|'.join(NUMBERS)})"
_WITHIN = matched(rf"{_COUNT}(?:[ \t]+(?P<unit>days?|weeks?|months?))?")
_FOR = matched(rf"(?:for|in|over)[ \t]+{_COUNT}[ \t]+(?P<unit>days?|weeks?)")
_NAMES_A_DATE = matched(
    r"(?:starting|starts?|beginning|begins?|since|as[ \t]+of|after|on|at)(?:[ \t]+(?:on|from|at))?"
)
_NAMES_AN_END = matched(
    r"(?:to|till|til|ending|ends?|through|thru|before|up[ \t]+to|-|–)(?:[ \t]+(?:on|at))?"
)
_ISO = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_ONCE = Pattern(
    rf"(?:(?:on|at|between|starting)[ \t]+)?(?P<a>{_ISO})"
    rf"(?:[ \t]*(?:to|and|until|till|-|–|\.\.)[ \t]*(?P<b>{_ISO}))?"
)
_TIME_OF_DAY = matched(
    r"(?:(?:at|in|by|before|after|the)[ \t]+)*(?P<said>[0-9]{1,2}[:.][0-9]{2}(?:[ \t]*[ap]m)?"
    r"|[0-9]{1,2}[ \t]*(?:[ap]m|o'?clock)|mornings?|evenings?|nights?|afternoons?|noon)"
)


def month_day(miss: Miss) -> Hint | None:
    """`the 15th`, `1st monday`, `last day` where a day of the month must stand."""
    if miss.ended:
        return _lone_ordinal(miss) if miss.expected == {"DAY"} else None
    if not miss.wants("ORDINAL"):
        return _words_behind(miss)
    where = (miss.text, miss.at, miss.body)
    found = _ON_DAY(*where)
    if found is not None:
        return _words(miss, found, _nth_day(found["nth"], found["day"]))
    found = _ON(*where)
    if found is not None and 1 <= int(found["n"]) <= 31:
        hint = _words(miss, found, str(int(found["n"])))
        message = f'a day of the month is a plain number, not "{found[0]}"'
        return hint._replace(message=message) if hint is not None else None
    found = _ON_END(*where)
    if found is not None:
        word = found["word"].lower()
        ends = {"last": "last", "end": "last", "middle": "15"}
        number = ORDINALS.index(word) + 1 if word in ORDINALS else 1
        return _words(miss, found, ends.get(word, str(number)))
    found = matched(rf"(?:the[ \t]+)?(?P<day>{DAY})")(*where)
    return _words(miss, found, day_name(found["day"])) if found is not None else None


def _words_behind(miss: Miss) -> Hint | None:
    """`on last day`, `on 15 of the month`: words that a day of the month does not need."""
    found = matched(r"(?:days?|date|(?:of|in)[ \t]+(?:the|each|every)[ \t]+month)")(
        miss.text, miss.at, miss.body
    )
    if found is None or not re.search(r"\bon[ \t]", miss.head) or not miss.wants("DURING"):
        return None
    edit = Edit(len(miss.head), found.end(), "")
    message = f'"{found[0]}" says nothing here that "{miss.head.split()[-1]}" does not'
    return Hint(message, "leave it out: {}", (edit,), found.end(), whole=True)


def _lone_ordinal(miss: Miss) -> Hint | None:
    found = re.search(rf"({'|'.join(ORDINALS)})\Z", miss.head)
    if found is None:
        return None
    number = Edit(found.start(), found.end(), str(ORDINALS.index(found[1]) + 1))
    named = Edit(found.end(), found.end(), " monday")
    message = f"`{found[1]}` wants a day of the week behind it"
    return Hint(message, "write {} for the day of the month, or {}", (number, named), whole=True)


def _nth_day(nth: str, day: str) -> str:
    nth = nth.lower()
    number = ORDINALS.index(nth) + 1 if nth in ORDINALS else int(nth[0]) if nth[0].isdigit() else 0
    if day.lower() == "day":
        return str(number) if number else "last"
    return f"{ORDINALS[number - 1] if number else 'last'} {day_name(day)}"


def _words(miss: Miss, found: re.Match[str], right: str) -> Hint | None:
    if found.end() < miss.after or found[0] == right:
        return None
    edit = Edit(miss.at, found.end(), right)
    return Hint(f'a book says `{right}`, not "{found[0]}"', "write {}", (edit,), found.end())


def missing_on(miss: Miss) -> Hint | None:
    """A day of the month, or of the week, behind `every month` without its `on`."""
    if not miss.wants("ON") or miss.ended or not _BEGINS_A_DAY.match(miss.rest):
        return None
    edit = Edit(miss.at, miss.at, "on ")
    message = f'`on` is missing before "{miss.word}"'
    return Hint(message, "write {}", (edit,), whole=True)


_BEGINS_A_DAY = Pattern(
    rf"(?:the[ \t]+)?(?:[0-9]{{1,2}}(?![0-9])|{'|'.join(ORDINALS)}|last|{DAY}(?![^\s,]))", re.I
)
_DAYS_BEHIND_ON = Pattern(rf"on[ \t]+(?P<days>{DAY}(?:{AND}{DAY})*)(?![^\s,])", re.I)
_NTH_BEHIND_DAY = Pattern(
    rf"(?:paused[ \t]+)?(?P<all>every[ \t]+(?P<day>{DAY})[ \t]+on[ \t]+(?:the[ \t]+)?"
    rf"(?P<nth>{'|'.join(ORDINALS)}|last))",
    re.I,
)


def no_days_in_on(miss: Miss) -> Hint | None:
    """`every day on monday`, `every monday on first`: days where the cadence has its own."""
    if not miss.wants("DURING") or miss.word != "on":
        return None
    named = _DAYS_BEHIND_ON.match(miss.rest)
    if named is not None:
        begin = 7 if miss.text.startswith("paused ") else 0
        end = miss.at + named.end()
        edit = Edit(begin, end, "every " + ", ".join(days_in(named["days"])))
        return Hint("the days alone say how often", "write {}", (edit,), end, whole=True)
    nth = _NTH_BEHIND_DAY.match(miss.text)
    if nth is None:
        return None
    new = f"every month on {nth['nth'].lower()} {day_name(nth['day'])}"
    edit = Edit(nth.start("all"), nth.end(), new)
    message = "a day and its number in the month stand together"
    return Hint(message, "write {}", (edit,), nth.end(), whole=True)


def season(miss: Miss) -> Hint | None:
    """Months of a season without `during` or `to`, or a season by its name."""
    if miss.wants("MONTH") and not miss.wants("DAY_UNIT"):
        return _after_during(miss)
    month = re.search(rf"\bduring[ \t]+({MONTH})\Z", miss.head)
    if month is not None and miss.wants("TO"):
        place = len(miss.head)
        edit = Edit(place, place, f" to {month_name(month[1])}")
        message = "a season has two months with `to` between them"
        return Hint(message, "write {}", (edit,), whole=True)
    behind_from = miss.wants("DATE") and miss.head.endswith(" from")
    if miss.start == "chore_line" or miss.ended or not (behind_from or miss.wants("DURING")):
        return None
    begin = len(miss.head) - len("from") if behind_from else miss.at
    where = (miss.text, begin, miss.body)
    found = _SEASON(*where) or _NAMED_SEASON(*where)
    if found is None or found.end() < miss.after:
        return None
    named = _SEASONS.get((found.groupdict().get("season") or "").lower())
    months = named or f"{month_name(found['a'])} to {month_name(found['b'] or found['a'])}"
    edit = Edit(begin, found.end(), f"during {months}")
    message = f'a season is written `during {months}`, not "{found[0]}"'
    return Hint(message, "write {}", (edit,), found.end())


def _after_during(miss: Miss) -> Hint | None:
    found = _MONTHS(miss.text, miss.at, miss.body)
    if found is not None:
        right = f"{month_name(found['a'])} to {month_name(found['b'])}"
        edit = Edit(miss.at, found.end(), right)
        return Hint("a season has `to` between its months", "write {}", (edit,), found.end())
    named = _SEASONS.get(miss.word.lower())
    if named is None:
        return None
    return Hint(f'"{miss.word}" is no month', "name its months: {}", (miss.rewrite(named),))


def days_within(miss: Miss) -> Hint | None:
    """`within a week`, `within 2 weeks`, `for 7 days`."""
    behind = re.search(
        r"\bwithin[ \t]+(?:[0-9]{1,4}[ \t]*)?\Z", miss.text[: miss.at] + " " * miss.ended
    )
    if behind is not None and (miss.wants("INT") or miss.wants("DAYS")):
        start = behind.start() + len("within")
        start += len(miss.text[start:]) - len(miss.text[start:].lstrip(" \t"))
        found = _WITHIN(miss.text, start, miss.body)
    else:
        behind, start = None, miss.at
        found = _FOR(miss.text, start, miss.body) if miss.wants("DURING") else None
    if found is None or found.end() < miss.after:
        return None
    number = NUMBERS.get(found["n"].lower()) or int(found["n"])
    unit = (found["unit"] or "day").lower().rstrip("s")
    days = number * {"day": 1, "week": 7, "month": 30}[unit]
    right = ("" if behind else "within ") + f"{days} {'day' if days == 1 else 'days'}"
    message = f'a window is counted in days, not as "{found[0]}"'
    if not found["unit"]:
        message = f'"{found[0]}" does not say that it counts days'
    return Hint(message, "write {}", (Edit(start, found.end(), right),), found.end())


def limits_in_time(miss: Miss) -> Hint | None:
    """`starting 2026-01-05`, `to 2026-12-31` for `from` and `until`; `once` without `from`."""
    if miss.wants("FROM") and re.search(r"\bonce\Z", miss.head):
        return _once(miss)
    if not miss.wants("UNTIL") or miss.ended:
        return None
    for words, right in ((_NAMES_AN_END, "until"), (_NAMES_A_DATE, "from")):
        found = words(miss.text, miss.at, miss.body)
        if found is not None and re.match(r"[ \t]*[0-9]{4}-", miss.text[found.end() :]):
            edit = miss.rewrite(right, end=found.end())
            message = f'a book says `{right}`, not "{found[0]}"'
            return Hint(message, "write {}", (edit,), found.end())
    if not re.match(r"[0-9]{4}-", miss.rest):
        return None
    edits = (Edit(miss.at, miss.at, "from "), Edit(miss.at, miss.at, "until "))
    return Hint("this date has no word before it", "write {} or {}", edits, whole=True)


def _once(miss: Miss) -> Hint | None:
    found = _ONCE.match(miss.rest)
    if found is None:
        return None
    end = miss.at + found.end()
    last = found["b"] or found["a"]
    edit = Edit(miss.at, end, f"from {found['a']} to {last}")
    return Hint("`once` has `from` and `to`, even for one day", "write {}", (edit,), end)


def time_of_day(miss: Miss) -> Hint | None:
    """A time or a part of the day in a header."""
    found = _TIME_OF_DAY(miss.text, miss.at, miss.body)
    if found is None or miss.start == "record_line" or not miss.wants("TITLE"):
        return None
    said = found["said"]
    edit = Edit(miss.at, found.end(), f'"{said[0].upper()}{said[1:]}"')
    return Hint("a book has no times of day; a title can say one", "write {}", (edit,), found.end())


def paused_behind(miss: Miss) -> Hint | None:
    """`paused` behind the cadence, or a clause in front of it."""
    if miss.wants("DURING") and miss.word.casefold() in ("paused", "pause"):
        edit = Edit(0, miss.after, f"paused {miss.head}")
        return Hint("`paused` stands before the cadence", "write {}", (edit,), whole=True)
    if not miss.wants("EVERY", "HOUSEHOLD"):
        return None
    found = re.match(r"(?P<clause>(?:from|until)[ \t]+[0-9-]+)[ \t]+(?P<rest>.+)", miss.rest)
    if found is None:
        return None
    edit = Edit(0, miss.body, f"{found['rest']} {found['clause']}")
    return Hint("the cadence comes first in a header", "write {}", (edit,), miss.body, whole=True)

"""Near misses of durations and numbers: other units, fractions, signs, numbers in words."""

from __future__ import annotations

import re
import unicodedata

from ledger.text.hint_miss import Edit, Hint, Miss, applied, gets_past, matched, reads
from ledger.text.near import nearest

UNITS = {
    "minutes": "min", "minute": "min", "mins": "min", "min.": "min", "mins.": "min", "m": "min",
    "mn": "min", "minuten": "min", "hours": "h", "hour": "h", "hrs": "h", "hr": "h", "hs": "h",
    "h.": "h", "hrs.": "h", "hr.": "h", "std": "h",
}  # fmt: skip
_SPELT_OUT = ("minutes", "minute", "mins", "hours", "hour", "hrs")
NUMBERS = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14,
    "fifteen": 15, "sixteen": 16, "eighteen": 18, "twenty": 20, "thirty": 30, "forty": 40,
    "fifty": 50, "sixty": 60, "ninety": 90,
}  # fmt: skip
_ROMAN = {
    "i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5, "vi": 6, "vii": 7, "viii": 8, "ix": 9, "x": 10,
    "xi": 11, "xii": 12,
}  # fmt: skip
_FRACTIONS = {
    "½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3,
    "1/2": 1 / 2, "1/4": 1 / 4, "3/4": 3 / 4, "1/3": 1 / 3, "2/3": 2 / 3,
}  # fmt: skip

_HOURS = r"(?:hours?|hrs?|hs?|std)\.?"
_MINUTES = r"(?:(?:minutes?|minuten|mins?|mn|m)\.?|['′])"
_UNIT = rf"(?:(?P<hours>{_HOURS})|(?P<minutes>{_MINUTES}))"
_ABOUT = r"(?:(?:about|around|approx\.?|roughly|circa|ca\.?|max\.?|~|≈|c\.)[ \t]*)?"
_TENS = "|".join(sorted(NUMBERS, key=len, reverse=True))
_HOURS_AND_MINUTES = matched(
    rf"{_ABOUT}(?P<h>[0-9]{{1,3}})[ \t]*{_HOURS}[ \t]*(?:,|and|&|\+)?[ \t]*"
    rf"(?P<m>[0-5]?[0-9])(?:[ \t]*{_MINUTES})?"
)
_CLOCK = matched(rf"{_ABOUT}(?P<h>[0-9]{{1,2}}):(?P<m>[0-5][0-9])(?:[ \t]*{_HOURS})?")
_DECIMAL = matched(rf"{_ABOUT}(?P<n>[0-9]*[.,][0-9]+)[ \t]*{_UNIT}")
_FRACTION = matched(
    rf"{_ABOUT}(?P<n>[0-9]{{1,3}})?[ \t]*(?P<f>[½¼¾⅓⅔]|[1-3]/[2-4])[ \t]*"
    rf"(?:of[ \t]+an[ \t]+|an[ \t]+)?{_HOURS}"
)
_AND_A_HALF = matched(r"(?P<n>an?|one|[0-9]{1,2})[ \t]+(?:hours?|h)[ \t]+and[ \t]+a[ \t]+half")
_PART = matched(
    r"(?:an?[ \t]+)?(?P<part>half|quarter)[ \t]+(?:of[ \t]+)?(?:an?[ \t]+)?(?:hours?|h)"
)
_RANGE = matched(
    rf"{_ABOUT}[0-9]{{1,4}}[ \t]*(?:-|–|—|to|or)[ \t]*(?P<n>[0-9]{{1,4}})[ \t]*{_UNIT}"
)
_PLAIN = matched(rf"{_ABOUT}[-+–−±]?(?P<n>[0-9]{{1,4}})[ \t]*{_UNIT}")
_IN_WORDS = matched(rf"{_ABOUT}(?P<n>{_TENS})[ \t]+{_UNIT}")
_SECONDS = matched(r"(?P<n>[0-9]{1,4})[ \t]*(?:s|secs?|seconds?)\.?")
_FILLER = matched(r"in|for|took|takes|within|about|at|of|to|is|=|:|-|–|~|max|lasts?|needs?")


def _written(minutes: float) -> str:
    """Minutes as a book writes them."""
    hours, rest = divmod(max(round(minutes), 1), 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest))


def duration(miss: Miss) -> Hint | None:
    """A duration with other units, fractions or signs than a book has."""
    if not (miss.wants("INT") or miss.wants("MIN")) or _counts(miss):
        return None
    if miss.lacks_unit and miss.word != ",":
        return None
    if miss.word.casefold() in ("min", "h") and not miss.word.islower():
        return None
    begin = _begin(miss)
    near = nearest(miss.word.casefold(), _SPELT_OUT) if miss.wants("MIN") else None
    if near is not None and miss.word.casefold() not in UNITS:
        message = f'"{miss.word}" is not how a book writes a unit of time'
        return Hint(message, "write {}", (miss.rewrite(UNITS[near]),))
    found = _measure(miss.text, begin, miss.body)
    if found is None or found[0] < miss.after:
        return None
    end, right = found
    said = miss.text[begin:end]
    unit = UNITS.get(miss.word.casefold())
    if unit is not None and end == miss.after and miss.text[begin : miss.at].strip().isdecimal():
        message = f'"{miss.word}" is not how a book writes a unit of time'
        return Hint(message, "write {}", (miss.rewrite(unit),))
    glued = re.fullmatch(r"[0-9]+(?:min|h)", said) is not None
    what = "lacks a blank" if glued else "is not how a book writes a duration"
    return Hint(f'"{said}" {what}', "write {}", (Edit(begin, end, right),), end)


def _counts(miss: Miss) -> bool:
    """True where a number counts something else than minutes and hours."""
    return bool({"WEEK", "IS", "ORDINAL", "EVERY"} & miss.expected) or miss.head.endswith("within")


def _begin(miss: Miss) -> int:
    """Where the duration begins that the reader stopped in."""
    before = miss.text[: miss.at]
    if not miss.wants("MIN"):
        hours = re.search(r"[0-9]{1,3}[ \t]+h[ \t]*(?:,|and|&|\+)?[ \t]*\Z", before)
        return hours.start() if hours else miss.at
    pattern = r"[0-9]{1,4}[ \t]*\Z" if miss.wants("H") else r"[0-9]+[ \t]+h[ \t]+[0-9]+[ \t]*\Z"
    number = re.search(pattern, before)
    return number.start() if number else miss.at


def _measure(text: str, begin: int, body: int) -> tuple[int, str] | None:
    """Where a loose duration ends, and how a book writes it."""
    where = (text, begin, body)
    found = _HOURS_AND_MINUTES(*where) or _CLOCK(*where)
    if found is not None:
        return found.end(), _written(int(found["h"]) * 60 + int(found["m"]))
    found = _DECIMAL(*where)
    if found is not None:
        number = float(found["n"].replace(",", "."))
        return found.end(), _written(number * (60 if found["hours"] else 1))
    found = _FRACTION(*where)
    if found is not None:
        return found.end(), _written((int(found["n"] or 0) + _FRACTIONS.get(found["f"], 1)) * 60)
    found = _AND_A_HALF(*where)
    if found is not None:
        return found.end(), _written(_number(found["n"]) * 60 + 30)
    found = _PART(*where)
    if found is not None:
        return found.end(), "30 min" if found["part"].lower() == "half" else "15 min"
    found = _SECONDS(*where)
    if found is not None:
        return found.end(), _written(int(found["n"]) / 60)
    found = _RANGE(*where) or _PLAIN(*where) or _IN_WORDS(*where)
    if found is None:
        return None
    return found.end(), f"{_number(found['n'])} {'h' if found['hours'] else 'min'}"


def _number(said: str) -> int:
    return int(said) if said.isdecimal() else NUMBERS[said.lower()]


def no_unit(miss: Miss) -> Hint | None:
    """A number that wants `min` or `h`."""
    found = re.search(r"[0-9]+\Z", miss.head)
    if not miss.wants("MIN") or found is None or not miss.lacks_unit:
        return None
    number, place = found[0], len(miss.head)
    minutes = Edit(found.start(), place, f"{number} min")
    hours = Edit(found.start(), place, f"{number} h")
    if not miss.wants("H") or int(number) > 12:
        return Hint(f"{number} has no unit", "write {}", (minutes,))
    return Hint(f"{number} has no unit", "write {} or {}", (minutes, hours))


def unit_before_word(miss: Miss) -> Hint | None:
    """A number without its unit, and then a word that is none."""
    found = re.search(r"[0-9]+\Z", miss.head)
    if miss.start != "chore_line" or not miss.wants("MIN") or found is None:
        return None
    minutes = f"{found[0]} min "
    edits = tuple(
        Edit(found.start(), miss.after, minutes + clause)
        for clause in (f"in {miss.word}", f'"{miss.word}"')
    )
    if not all(reads(applied(miss.text, edit)) for edit in edits):
        return None
    message = f'"{miss.word}" is no unit of time'
    return Hint(message, "write {} for an area, or {} for a title", edits, whole=True)


def filler(miss: Miss) -> Hint | None:
    """A word before the minutes that says nothing there."""
    if not miss.wants("INT") or _counts(miss):
        return None
    found = _FILLER(miss.text, miss.at, miss.body)
    if found is None:
        return None
    blanks = re.compile(r"[ \t]*(?=[0-9])").match(miss.text, found.end())
    if blanks is None:
        return None
    edit = Edit(miss.at, blanks.end(), "")
    if not gets_past(miss.text, Edit(miss.at, blanks.end() + 1, miss.text[blanks.end()]), True):
        return None
    message = f'the minutes need no "{found[0]}" before them'
    return Hint(message, "leave it out: {}", (edit,), found.end(), whole=True)


def number_word(miss: Miss) -> Hint | None:
    """A number in words or in Roman figures."""
    if not miss.wants("INT") or not miss.word or miss.wants("HOUSEHOLD"):
        return None
    word = unicodedata.normalize("NFKC", miss.word).casefold()
    number = NUMBERS.get(word) or _ROMAN.get(word)
    if number is None or (len(word) == 1 and miss.wants("USES") and word.isascii()):
        return None
    kind = "in words" if word in NUMBERS else "in Roman figures"
    edit = miss.rewrite(str(number))
    return Hint(f'"{miss.word}" is a number {kind}', "write {}", (edit,))


def signed_number(miss: Miss) -> Hint | None:
    """A number with a sign, a point or an ending: `+3`, `2.`, `1st`, `2.0`."""
    if not miss.wants("INT"):
        return None
    found = re.fullmatch(r"[-+–−±~№]?([0-9]{1,4})(?:[.,]0+|\.|st|nd|rd|th)?", miss.word)
    if found is None or found[1] == miss.word:
        return None
    return Hint(f'"{miss.word}" is no plain number', "write {}", (miss.rewrite(found[1]),))


def large_number(miss: Miss) -> Hint | None:
    """A number of more than four digits."""
    if not re.fullmatch("[0-9]{5,}", miss.word):
        return None
    shown = miss.word if len(miss.word) <= 30 else miss.word[:29] + "…"
    return Hint(f"{shown} is too large a number", "write a number of up to four digits")

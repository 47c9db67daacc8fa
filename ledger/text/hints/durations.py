"""Near misses of durations and numbers: other units, fractions, signs, numbers in words."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable

from ledger.text.hints.misread import Hint, Misread
from ledger.text.hints.reading import Edit
from ledger.text.hints.slips import ANY_WORD, LEAVE_OUT, Slip, line_reads, next_word_fits
from ledger.text.hints.vocabulary import (
    NAME,
    NUMBER_WORD,
    UNIT,
    UNITS,
    WORD_END,
    Pattern,
    first_read,
    matched,
    number_in,
    small,
)
from ledger.text.near import nearest

_SPELT_OUT = ("minutes", "minute", "mins", "hours", "hour", "hrs")
_ROMAN = {
    "i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5, "vi": 6, "vii": 7, "viii": 8, "ix": 9, "x": 10,
    "xi": 11, "xii": 12,
}  # fmt: skip
_HOURS = r"(?:hours?|hrs?|hs?|std)\.?"
_MINUTES = r"(?:(?:minutes?|minuten|mins?|mn|m)\.?|['′])"
_UNIT = rf"(?:(?P<hours>{_HOURS})|(?P<minutes>{_MINUTES}))"
_ABOUT = r"(?:(?:about|around|approx\.?|roughly|circa|ca\.?|max\.?|~|≈|c\.) *)?"
_HOURS_BEFORE = Pattern(r"[0-9]{1,3} h *(?:,|and|&|\+)? *\Z")
_NUMBER_BEFORE = Pattern(r"[0-9]{1,4} *\Z")
_WORD_OF_LIMIT = Pattern(
    rf"limit {NAME} (?P<begin>(?:half|quarter|about|around|{NUMBER_WORD})(?: [0-9]+)?) \Z"
)
"""What is read as the name of some days, behind a person, and says how long."""
_MINUTES_BEFORE = Pattern(r"[0-9]+ h [0-9]+ *\Z")
_LAST_NUMBER = Pattern(r"[0-9]+\Z")
_NUMBER_IN_WORDS = matched(rf"{NUMBER_WORD}|an?")

_COUNTED = "WEEK IS ORDINAL EVERY"
"""Where a word of one of these kinds could stand, a number does not count minutes."""

FILLER = Slip(
    "INT",
    r"(?P<wrong>in|for|took|takes|within|about|at|of|to|is|=|:|-|–|~|max|lasts?|needs?)"
    # A single digit may be an hour of the day.
    rf"{WORD_END} *(?=[0-9]{{2}}|[0-9] {UNIT})",
    "",
    'the minutes need no "{wrong}" before them',
    LEAVE_OUT,
    before=r"(?<!within)(?<!\s) *",
    unless=_COUNTED,
    touches=True,
    whole=True,
    check=next_word_fits,
)
"""A needless word before the minutes."""

UNIT_BEFORE_WORD = Slip(
    "MIN",
    rf"(?P<name>{ANY_WORD})",
    ("{n} min in {name}", '{n} min "{name}"'),
    '"{wrong}" is no unit of time',
    "write {} for an area, or {} for a title",
    before=r"(?P<old>(?P<n>[0-9]+) *)",
    start="chore_line",
    whole=True,
    check=line_reads,
)
"""A number without its unit, before a word that is not a unit."""

SIGNED_NUMBER = Slip(
    "INT",
    r"[-+–−±~№]?(?P<n>[0-9]{1,4})(?:[.,]0+|\.|st|nd|rd|th)?",
    lambda words: None if words["n"] == words["wrong"] else words["n"],
    '"{wrong}" is no plain number',
)
"""A number with a sign, a point or an ending: `+3`, `2.`, `1st`, `2.0`."""


def _written(minutes: float) -> str:
    """Minutes as a book writes them."""
    hours, rest = divmod(max(round(minutes), 1), 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest))


def _fraction(text: str) -> float:
    return int(text[0]) / int(text[2]) if "/" in text else unicodedata.numeric(text)


def _in_units(match: re.Match[str]) -> str:
    return f"{number_in(match['n'])} {'h' if match['hours'] else 'min'}"


MEASURES: tuple[tuple[str, Callable[[re.Match[str]], str]], ...] = (
    (
        rf"{_ABOUT}(?P<h>[0-9]{{1,3}}) *{_HOURS} *(?:,|and|&|\+)? *(?P<m>[0-5]?[0-9])"
        rf"(?: *{_MINUTES})?",
        lambda found: _written(int(found["h"]) * 60 + int(found["m"])),
    ),
    (
        rf"{_ABOUT}(?P<h>[0-9]):(?P<m>[0-5][0-9])(?: *{_HOURS})?",
        lambda found: _written(int(found["h"]) * 60 + int(found["m"])),
    ),
    (
        rf"{_ABOUT}(?P<n>[0-9]*[.,][0-9]+) *{_UNIT}",
        lambda found: _written(float(found["n"].replace(",", ".")) * (60 if found["hours"] else 1)),
    ),
    (
        rf"{_ABOUT}(?P<n>[0-9]{{1,3}})? *(?P<f>[½¼¾⅓⅔]|[1-3]/[2-4]) *(?:of an |an )?{_HOURS}",
        lambda found: _written((int(found["n"] or 0) + _fraction(found["f"])) * 60),
    ),
    (
        r"(?P<n>an?|one|[0-9]{1,2}) (?:hours?|h) and a half",
        lambda found: _written(number_in(found["n"]) * 60 + 30),
    ),
    (
        r"(?:an? )?(?P<part>half|quarter) (?:of )?(?:an? )?(?:hours?|h)",
        lambda found: _written(30 if small(found["part"]) == "half" else 15),
    ),
    (
        r"(?P<n>[0-9]{1,4}) *(?:s|secs?|seconds?)\.?",
        lambda found: _written(int(found["n"]) / 60),
    ),
    (rf"{_ABOUT}[0-9]{{1,4}} *(?:-|–|—|to|or) *(?P<n>[0-9]{{1,4}}) *{_UNIT}", _in_units),
    (rf"{_ABOUT}[-+–−±]?(?P<n>[0-9]{{1,4}}) *{_UNIT}", _in_units),
    (rf"{_ABOUT}(?P<n>{NUMBER_WORD}|an?) {_UNIT}", _in_units),
)
"""Loose durations, and how a book writes them."""


def duration(miss: Misread) -> Hint | None:
    """A duration with units, fractions or signs that a book does not use."""
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
    reading = first_read(MEASURES, miss.text, begin, miss.body)
    if reading is None or reading[0] < miss.after:
        return None
    end, right = reading
    wrong = miss.text[begin:end]
    unit = UNITS.get(miss.word.casefold())
    if unit is not None and end == miss.after and miss.text[begin : miss.at].strip().isdecimal():
        message = f'"{miss.word}" is not how a book writes a unit of time'
        return Hint(message, "write {}", (miss.rewrite(unit),))
    glued = re.fullmatch(r"[0-9]+(?:min|h)", wrong) is not None
    what = "lacks a blank" if glued else "is not how a book writes a duration"
    return Hint(f'"{wrong}" {what}', "write {}", (Edit(begin, end, right),), end)


def _counts(miss: Misread) -> bool:
    """True where a number counts something other than minutes and hours."""
    return not miss.expected.isdisjoint(_COUNTED.split()) or miss.head.endswith("within")


def _begin(miss: Misread) -> int:
    """Start of the duration in which the reader stopped."""
    limit = _WORD_OF_LIMIT.search(miss.text, miss.at)
    if limit is not None:
        return limit.start("begin")
    if not miss.wants("MIN"):
        hours = _HOURS_BEFORE.search(miss.text, miss.at)
        return hours.start() if hours else miss.at
    pattern = _NUMBER_BEFORE if miss.wants("H") else _MINUTES_BEFORE
    number = pattern.search(miss.text, miss.at)
    return number.start() if number else miss.at


def no_unit(miss: Misread) -> Hint | None:
    """A number that lacks `min` or `h`."""
    match = _LAST_NUMBER.search(miss.head)
    if not miss.wants("MIN") or match is None or not miss.lacks_unit:
        return None
    number, place = match[0], len(miss.head)
    minutes = Edit(match.start(), place, f"{number} min")
    hours = Edit(match.start(), place, f"{number} h")
    if not miss.wants("H") or int(number) > 12:
        return Hint(f"{number} has no unit", "write {}", (minutes,))
    return Hint(f"{number} has no unit", "write {} or {}", (minutes, hours))


def number_word(miss: Misread) -> Hint | None:
    """A number in words or in Roman figures."""
    if not miss.wants("INT") or not miss.word or miss.wants("HOUSEHOLD"):
        return None
    word = unicodedata.normalize("NFKC", miss.word).casefold()
    match = _NUMBER_IN_WORDS(miss.text, miss.at, miss.body)
    number = number_in(match[0]) if match else _ROMAN.get(word)
    if number is None or (len(word) == 1 and miss.wants("USES") and word.isascii()):
        return None
    kind, end = ("in words", match.end()) if match else ("in Roman figures", miss.after)
    edit = Edit(miss.at, end, str(number))
    return Hint(f'"{miss.text[miss.at : end]}" is a number {kind}', "write {}", (edit,), end)


def large_number(miss: Misread) -> Hint | None:
    """A number of more than four digits."""
    if not re.fullmatch("[0-9]{5,}", miss.word):
        return None
    shown = miss.word if len(miss.word) <= 30 else miss.word[:29] + "…"
    return Hint(f"{shown} is too large a number", "write a number of up to four digits")

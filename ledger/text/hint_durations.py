"""Near misses of durations and numbers: other units, fractions, signs, numbers in words."""

from __future__ import annotations

import re

from ledger.text.hint_miss import WORD_END, Edit, Hint, Miss, matched

UNITS = {
    "minutes": "min", "minute": "min", "mins": "min", "min.": "min", "mins.": "min", "m": "min",
    "minuten": "min", "mn": "min", "′": "min", "'": "min", "mi": "min",
    "hours": "h", "hour": "h", "hrs": "h", "hr": "h", "hs": "h", "h.": "h", "hrs.": "h",
    "hr.": "h", "std": "h",
}  # fmt: skip
NUMBERS = {
    word: number
    for number, word in enumerate(
        ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
         "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
         "nineteen", "twenty"), 1)
} | {"a": 1, "an": 1, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "ninety": 90}  # fmt: skip
_FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "1/2": 0.5, "1/4": 0.25,
              "3/4": 0.75, "1/3": 1 / 3, "2/3": 2 / 3}  # fmt: skip
ROMAN = {"i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5, "vi": 6, "vii": 7, "viii": 8, "ix": 9,
         "x": 10, "xi": 11, "xii": 12}  # fmt: skip

_H = r"(?:hours?|hrs?|hs?|std)\.?"
_M = r"(?:minutes?|minuten|mins?|mn|m)\.?|['′]"
_FRACTION = r"(?:[½¼¾⅓⅔]|[1-3]/[2-4])"
_ABOUT = r"(?:(?:about|around|approx\.?|roughly|circa|ca\.?|max\.?|~|≈|c\.)[ \t]*)?"
_SEPARATOR = r"[ \t]*(?:,|and|&|\+)?[ \t]*"
_HOURS_MINUTES = matched(
    rf"{_ABOUT}(?P<h>[0-9]{{1,3}})[ \t]*(?:{_H}){_SEPARATOR}(?P<m>[0-9]{{1,2}})(?:[ \t]*(?:{_M}))?"
)
_CLOCK = matched(rf"{_ABOUT}(?P<h>[0-9]{{1,2}}):(?P<m>[0-5][0-9])(?:[ \t]*(?:{_H}))?")
_DECIMAL = matched(
    rf"{_ABOUT}(?P<n>[0-9]*[.,][0-9]+)[ \t]*(?:(?P<h>{_H})|(?P<m>{_M}))"
)
_FRACTIONAL = matched(
    rf"{_ABOUT}(?P<n>[0-9]{{1,3}})?[ \t]*(?P<f>{_FRACTION})[ \t]*(?:of[ \t]+an[ \t]+|an[ \t]+)?{_H}"
)
_HALF = matched(
    r"(?:(?P<n>an?|one|[0-9]{1,2})[ \t]+(?:hours?|h)[ \t]+and[ \t]+a[ \t]+half"
    r"|(?:a[ \t]+)?(?P<half>half|quarter)[ \t]+(?:of[ \t]+)?(?:an?[ \t]+)?(?:hours?|h))"
)
_RANGE = matched(
    rf"{_ABOUT}(?P<a>[0-9]{{1,4}})[ \t]*(?:-|–|—|to|or)[ \t]*(?P<b>[0-9]{{1,4}})[ \t]*(?:(?P<h>{_H})|(?P<m>{_M}))"
)
_PLAIN = matched(
    rf"{_ABOUT}(?P<sign>[-+–−±]?)(?P<n>[0-9]{{1,4}})[ \t]*(?:(?P<h>{_H})|(?P<m>{_M}))"
)
_WORDS = matched(
    rf"{_ABOUT}(?P<n>{'|'.join(sorted(NUMBERS, key=len, reverse=True))})[ \t]+(?:(?P<h>{_H})|(?P<m>{_M}))"
)
_SECONDS = matched(r"(?P<n>[0-9]{1,4})[ \t]*(?:s|secs?|seconds?)\.?")


def written(minutes: float) -> str:
    """Minutes as a book writes them."""
    hours, rest = divmod(max(round(minutes), 1), 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest))


def duration(miss: Miss) -> Hint | None:
    """A duration with other units, fractions or signs than a book has."""
    if not ({"INT", "MIN"} & miss.expected) or {"WEEKS", "WEEKEND", "ORDINAL"} & miss.expected:
        return None
    begin = _begin(miss)
    found = _measure(miss.text, begin, miss.body)
    if found is None:
        return None
    end, minutes = found
    if end < miss.after:
        return None
    said, right = miss.text[begin:end], written(minutes)
    unit = UNITS.get(miss.word.casefold())
    if unit is not None and end == miss.after and miss.text[begin : miss.at].strip().isdecimal():
        return Hint(
            f'"{miss.word}" is not how a book writes a unit of time',
            "write {}",
            (miss.rewrite(unit),),
        )
    glued = re.fullmatch(r"([0-9]+)(min|h)", said)
    message = f'"{said}" lacks a blank' if glued else f'"{said}" is not how a book writes a duration'
    return Hint(message, "write {}", (Edit(begin, end, right),), end)


def _begin(miss: Miss) -> int:
    """Where the duration begins that the reader stopped in."""
    if "MIN" not in miss.expected:
        whole = re.search(r"[0-9]{1,3}[ \t]+h[ \t]*(?:,|and|&|\+)?[ \t]*\Z", miss.text[: miss.at])
        return whole.start() if whole and miss.rest[:1] not in ('"', "#") else miss.at
    pattern = r"[0-9]{1,4}[ \t]*\Z" if "H" in miss.expected else r"[0-9]+[ \t]+h[ \t]+[0-9]+[ \t]*\Z"
    number = re.search(pattern, miss.text[: miss.at])
    return number.start() if number else miss.at


def _measure(text: str, begin: int, body: int) -> tuple[int, float] | None:
    """Where a loose duration ends, and its minutes."""
    found = _HOURS_MINUTES(text, begin, body) or _CLOCK(text, begin, body)
    if found is not None:
        return (found.end(), int(found["h"]) * 60 + int(found["m"])) if int(found["m"]) < 60 else None
    found = _DECIMAL(text, begin, body)
    if found is not None:
        number = float(found["n"].replace(",", "."))
        return found.end(), number * (60 if found["h"] else 1)
    found = _FRACTIONAL(text, begin, body)
    if found is not None:
        return found.end(), (int(found["n"] or 0) + _FRACTIONS[found["f"]]) * 60
    found = _HALF(text, begin, body)
    if found is not None:
        if found["half"]:
            return found.end(), 30 if found["half"].lower() == "half" else 15
        return found.end(), (NUMBERS.get(found["n"].lower()) or int(found["n"])) * 60 + 30
    found = _RANGE(text, begin, body)
    if found is not None:
        return found.end(), int(found["b"]) * (60 if found["h"] else 1)
    found = _SECONDS(text, begin, body)
    if found is not None:
        return found.end(), int(found["n"]) / 60
    found = _PLAIN(text, begin, body) or _WORDS(text, begin, body)
    if found is None:
        return None
    number = int(found["n"]) if found["n"].isdecimal() else NUMBERS[found["n"].lower()]
    return found.end(), number * (60 if found["h"] else 1)


def no_unit(miss: Miss) -> Hint | None:
    """A number that wants `min` or `h`."""
    if "MIN" not in miss.expected:
        return None
    found = re.search(r"[0-9]+[ \t]*\Z", miss.head)
    if found is None:
        return None
    number = found[0].strip()
    hours = "H" in miss.expected
    place = len(miss.head)
    units = "`min` for minutes or `h` for hours" if hours else "`min`"
    small = hours and int(number) <= 4
    edit = Edit(found.start(), place, f"{number} {'h' if small else 'min'}")
    other = Edit(found.start(), place, f"{number} {'min' if small else 'h'}")
    if not hours or int(number) > 12:
        return Hint(f"{number} has no unit", "write {}", (edit,))
    return Hint(f"{number} has no unit", "write {} or {}", (edit, other)) if units else None


def number_word(miss: Miss) -> Hint | None:
    """A number in words or in Roman figures."""
    if not miss.wants("INT") or not miss.word:
        return None
    word = miss.word.casefold()
    number = NUMBERS.get(word) or ROMAN.get(_flat(word))
    if number is None or word in ("a", "an", "i", "v", "x") and miss.wants("USES"):
        return None
    kind = "in words" if word in NUMBERS else "in Roman figures"
    return Hint(
        f'"{miss.word}" is a number {kind}', "write {}", (miss.rewrite(str(number)),)
    )


def _flat(word: str) -> str:
    import unicodedata

    return unicodedata.normalize("NFKC", word).casefold()


def signed_number(miss: Miss) -> Hint | None:
    """A number with a sign, a point or an ending: `+3`, `2.`, `1st`, `2.0`."""
    if not miss.wants("INT"):
        return None
    found = re.fullmatch(r"[-+–−±~#№]?([0-9]{1,4})(?:[.,]0+|\.|st|nd|rd|th)?", miss.word)
    if found is None or found[1] == miss.word:
        return None
    return Hint(f'"{miss.word}" is no plain number', "write {}", (miss.rewrite(found[1]),))


def large_number(miss: Miss) -> Hint | None:
    """A number of more than four digits."""
    if re.fullmatch("[0-9]{5,}", miss.word):
        shown = miss.word if len(miss.word) <= 30 else miss.word[:29] + "…"
        return Hint(f"{shown} is too large a number", "write a number of up to four digits")
    return None


__all__ = ["WORD_END"]

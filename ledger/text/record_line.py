"""The fast path: a well-formed line of the record, read without the grammar.

Lines of the record outnumber all others by hundreds to one. What stands here reads the
common ones with one regular expression each and gives up on all else, which the grammar then
reads or explains; a property test holds the two to the same reading.
"""

from __future__ import annotations

import re
import unicodedata

from ledger.text.tree import Entry, Item, Name, Names, Placed
from ledger.text.values import DAY_NUMBERS, check_name, comment_text, ordinal

DATE_WIDTH = 10
NOT_PEOPLE = frozenset(DAY_NUMBERS) | {"each", "weekday", "weekend"}

_BLANKS, _END = r"[ \t]+", r"(?=[ \t,#]|$)"
_COMMA = r"[ \t]*,[ \t]*"
_NAME = rf"[^\W\d_](?:[^\W_]|-|[^\x00-\x7f\s\w])*{_END}"
_HOURS = rf"[0-9]{{1,4}}{_BLANKS}h(?:{_BLANKS}[0-9]{{1,4}}{_BLANKS}min)?"
_DURATION = rf"(?:[0-9]{{1,4}}{_BLANKS}min|{_HOURS}){_END}"
_ITEM = rf"{_NAME}(?:{_BLANKS}{_DURATION})?"
_NAMES = rf"{_NAME}(?:{_COMMA}{_NAME})*"
_REST = rf'(?:{_BLANKS}(?P<note>"(?:[^"\\\n]|\\["\\])*"{_END}))?[ \t]*(?P<comment>#.*)?'

_DID = re.compile(
    rf"{_BLANKS}did{_BLANKS}(?P<items>{_ITEM}(?:{_COMMA}{_ITEM})*)"
    rf"(?:{_BLANKS}by{_BLANKS}(?P<people>{_NAMES}))?{_REST}"
)
_SKIPPED = re.compile(rf"{_BLANKS}skipped{_BLANKS}(?P<items>{_NAMES}){_REST}")
_MOVED = re.compile(
    rf"{_BLANKS}moved{_BLANKS}(?P<items>{_NAME}){_BLANKS}to{_BLANKS}"
    rf"(?P<to>[0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}}{_END}){_REST}"
)
_ONE_ITEM = re.compile(rf"({_NAME})(?:{_BLANKS}({_DURATION}))?")
_ONE_NAME = re.compile(_NAME)
_ESCAPE = re.compile(r"\\(.)")


class _NotHere(Exception):
    """A line for the grammar: a word in it may be wrong."""


def read_tail(tail: str) -> Entry | None:
    """The entry of a record line given all that follows its date, or None for the grammar.

    Places in the entry count from the start of the line. None says nothing about the line.
    """
    try:
        for verb, pattern in (("did", _DID), ("skipped", _SKIPPED), ("moved", _MOVED)):
            match = pattern.fullmatch(tail)
            if match is not None:
                return _entry(verb, match)
    except _NotHere:
        pass
    return None


def _entry(verb: str, match: re.Match[str]) -> Entry:
    groups = match.groupdict()
    start, end = match.span("items")
    to = groups.get("to")
    return Entry(
        verb=verb,
        items=tuple(_item(found) for found in _ONE_ITEM.finditer(match.string, start, end)),
        people=_people(match) if groups.get("people") else (),
        to=Placed(_day(to), *_shifted(match, "to")) if to else None,
        note=_note(match) if groups["note"] else None,
        comment=_comment(match) if groups["comment"] else None,
    )


def _shifted(match: re.Match[str], group: str | int) -> tuple[int, int]:
    return match.start(group) + DATE_WIDTH, match.end(group) + DATE_WIDTH


def _item(match: re.Match[str]) -> Item:
    name = _name(match[1], match.start(1))
    if match[2] is None:
        return Item(name)
    return Item(name, Placed(_minutes(match[2]), *_shifted(match, 2)))


def _name(text: str, start: int) -> Name:
    place = start + DATE_WIDTH
    end = place + len(text)
    if not text.isascii():
        if check_name(text) is not None:
            raise _NotHere
        text = unicodedata.normalize("NFC", text)
    return Placed(text, place, end)


def _minutes(text: str) -> int:
    words = text.split()
    first, last = int(words[0]), int(words[-2])
    if len(words) == 2:
        total = first if words[1] == "min" else first * 60
        largest = 9999 if words[1] == "min" else 166 * 60
    else:
        if last > 59:
            raise _NotHere
        total, largest = first * 60 + last, 166 * 60 + 59
    if not 1 <= total <= largest:
        raise _NotHere
    return total


def _people(match: re.Match[str]) -> Names:
    start, end = match.span("people")
    names = tuple(
        _name(found[0], found.start()) for found in _ONE_NAME.finditer(match.string, start, end)
    )
    if any(name.value in NOT_PEOPLE for name in names):
        raise _NotHere
    return names


def _day(text: str) -> int:
    day = ordinal(text)
    if day is None:
        raise _NotHere
    return day


def _note(match: re.Match[str]) -> Name:
    text = match["note"][1:-1]
    return Placed(_ESCAPE.sub(r"\1", text) if "\\" in text else text, *_shifted(match, "note"))


def _comment(match: re.Match[str]) -> Name:
    return comment_text(match["comment"], match.start("comment") + DATE_WIDTH)

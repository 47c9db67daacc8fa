"""The fast path: a well-formed line of the record, read without the grammar.

Record lines outnumber all others by hundreds to one. This module reads the common ones with regular
expressions and gives up on all others, which the grammar then reads or explains. A property test
checks that both give the same reading.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from ledger.text.parts import Located, Name, Names
from ledger.text.tree import RecordEntry, RecordItem
from ledger.text.values import DAY_NUMBERS, check_name, comment_text, ordinal

DATE_WIDTH = 10
NOT_PEOPLE = frozenset(DAY_NUMBERS) | {"each", "weekday", "weekend"}

_BLANKS, _COMMA = r"[ \t]+", r"[ \t]*,[ \t]*"
# Any run that could be a name; `_normal` then checks each different run once.
_WORD = r"[^\s,]+"
_WORDS = rf"{_WORD}(?:{_COMMA}{_WORD})*"
_DURATION = rf"[0-9]{{1,4}}{_BLANKS}(?:min|h(?:{_BLANKS}[0-9]{{1,4}}{_BLANKS}min)?)"

_PARTS = re.compile(
    r'([^"#]*)(?:(?<=[ \t])("[^"\\]*(?:\\["\\][^"\\]*)*")(?![^ \t#]))?[ \t]*(#.*)?'
).fullmatch
_WORK = re.compile(rf"{_BLANKS}(did|worked){_BLANKS}").match
_ITEM = re.compile(rf"[ \t]*({_WORD})(?:{_BLANKS}({_DURATION}))?[ \t]*").fullmatch
_PEOPLE = re.compile(rf"[ \t]*({_WORDS})[ \t]*").fullmatch
_OTHER = re.compile(
    rf"{_BLANKS}(?:skipped{_BLANKS}(?P<skipped>{_WORDS})"
    rf"|moved{_BLANKS}(?P<moved>{_WORD}){_BLANKS}to{_BLANKS}"
    r"(?P<to>[0-9]{4}-[0-9]{2}-[0-9]{2}))[ \t]*"
).fullmatch
_NAMES = re.compile(_WORD).finditer
_IS_NAME = re.compile(r"[^\W\d_](?:[^\W_]|-|[^\x00-\x7f\s\w])*").fullmatch
_ESCAPE = re.compile(r"\\(.)")


class _GiveUp(Exception):
    """Raised to leave a line to the grammar: a word in it may be wrong."""


def read_tail(tail: str) -> RecordEntry | None:
    """The entry of a record line, given the text after its date; None leaves it to the grammar.

    Places in the entry count from the start of the line. None does not mean that the line is wrong.
    """
    body, note, comment = tail, None, None
    if '"' in tail or "#" in tail:
        parts = _PARTS(tail)
        if parts is None:
            return None
        body, note, comment = parts[1], _note(parts), _comment(parts)
    head, by, people = body.partition(" by ")
    try:
        verb, items = _work(head)
        if items:
            names = _people(people, len(head + by)) if by else ()
            return RecordEntry(verb, items, names, None, note, comment)
        return _skipped_or_moved(body, note, comment)
    except _GiveUp:
        return None


# Halves of lines recur far more often than whole lines do.
@lru_cache(maxsize=1 << 16)
def _work(head: str) -> tuple[str, tuple[RecordItem, ...]]:
    """The verb and the chores of ` did oven 35 min, sheets`; none for text of another kind."""
    match = _WORK(head)
    if match is None:
        return "", ()
    verb, start, items = match[1], match.end(), list[RecordItem]()
    for text in head[start:].split(","):
        items.append(_item(text, start + DATE_WIDTH))
        start += len(text) + 1
    if verb == "worked" and any(item.minutes is None for item in items):
        raise _GiveUp
    return verb, tuple(items)


@lru_cache(maxsize=1 << 16)
def _item(text: str, start: int) -> RecordItem:
    """The chore of `oven 35 min`, which begins at `start` in its line."""
    match = _ITEM(text)
    if match is None:
        raise _GiveUp
    name = Located(_normal(match[1]), start + match.start(1), start + match.end(1))
    if match[2] is None:
        return RecordItem(name)
    minutes = Located(_minutes(match[2]), start + match.start(2), start + match.end(2))
    return RecordItem(name, minutes)


@lru_cache(maxsize=1 << 16)
def _people(text: str, start: int) -> Names:
    """The people of `noor, tam`, which begins `start` characters after the date."""
    match = _PEOPLE(text)
    if match is None:
        raise _GiveUp
    names = _names(text, match.span(1), start + DATE_WIDTH)
    if any(name.value in NOT_PEOPLE for name in names):
        raise _GiveUp
    return names


def _skipped_or_moved(body: str, note: Name | None, comment: Name | None) -> RecordEntry | None:
    match = _OTHER(body)
    if match is None:
        return None
    verb = "moved" if match["skipped"] is None else "skipped"
    items = tuple(map(RecordItem, _names(body, match.span(verb), DATE_WIDTH)))
    to = None
    if verb == "moved":
        day = ordinal(match["to"])
        if day is None:
            return None
        to = Located(day, *_span(match, "to"))
    return RecordEntry(verb, items, (), to, note, comment)


def _names(text: str, span: tuple[int, int], shift: int) -> Names:
    return tuple(
        Located(_normal(name[0]), name.start() + shift, name.end() + shift)
        for name in _NAMES(text, *span)
    )


def _span(match: re.Match[str], group: str | int) -> tuple[int, int]:
    """Where a group stands in its line."""
    return match.start(group) + DATE_WIDTH, match.end(group) + DATE_WIDTH


@lru_cache(maxsize=1 << 16)
def _normal(text: str) -> str:
    """A name in normal form. Raises _GiveUp for a word that may not be a name."""
    if _IS_NAME(text) is None:
        raise _GiveUp
    if text.isascii():
        return text
    if check_name(text) is not None:
        raise _GiveUp
    return unicodedata.normalize("NFC", text)


@lru_cache(maxsize=1 << 16)
def _minutes(text: str) -> int:
    words = text.split()
    first, last = int(words[0]), int(words[-2])
    if len(words) == 2:
        total = first if words[1] == "min" else first * 60
        largest = 9999 if words[1] == "min" else 166 * 60
    else:
        if last > 59 or first == 0:
            raise _GiveUp
        total, largest = first * 60 + last, 166 * 60 + 59
    if not 1 <= total <= largest:
        raise _GiveUp
    return total


def _note(match: re.Match[str]) -> Name | None:
    if match[2] is None:
        return None
    text = match[2][1:-1]
    return Located(_ESCAPE.sub(r"\1", text) if "\\" in text else text, *_span(match, 2))


def _comment(match: re.Match[str]) -> Name | None:
    if match[3] is None:
        return None
    return comment_text(match[3], match.start(3) + DATE_WIDTH)

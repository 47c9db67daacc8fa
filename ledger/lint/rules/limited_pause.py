"""Words behind `paused` that are meant to limit the pause, and do not.

Why it matters: what is paused is asked on no day. `paused until 2026-05-01` says when the line
ends, not when the pause does, so what was to begin again never comes back.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import takewhile

from ledger.lint.book import LintedBook
from ledger.text.edits import word_place, write
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.parser import Token, parser
from ledger.text.source import TextRange

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

every monday
    oven  40 min  in kitchen  paused until 2026-05-01
                              ^^^^^^^^^^^^^^^^^^^^^^^
"""

GOOD = """\
area kitchen

every monday
    oven  40 min  in kitchen  from 2026-05-01
"""

_OPPOSITE = {"until": "from", "from": "until", "during": "except", "except": "during"}
_VALUES = {"DATE", "MONTH", "DAY", "WEEKDAY", "WEEKEND", "NAME", "COMMA", "TO"}


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each header and each chore that has such words."""
    for section in book.household.sections:
        if section.paused and not section.lacks_from:
            yield from _findings(section.place, book.today)
    for lines in book.sections.values():
        for _, line in lines:
            if book.line_of(line).paused:
                yield from _findings(line.name_place, book.today)


def _findings(line: TextRange, today: int) -> Iterator[Finding]:
    word, text = word_place(line, "PAUSED"), line.source.lines[line.line]
    words = list(parser().tokens(text))
    limit = _limit(words, word.start, today)
    if limit is None:
        return
    keyword = words[limit]
    value = list(takewhile(lambda one: one.kind in _VALUES, words[limit + 1 :]))
    end = value[-1].end
    others = {one.text for one in words} - {keyword.text}
    place = word._replace(start=min(word.start, keyword.start), end=max(word.end, end))
    # Flags may stand between the two.
    between = text[end : word.start].rstrip(" \t")
    right = _in_force(keyword.text, text[value[0].start : end])
    is_free = others.isdisjoint(("from", "until", right.split()[0]))
    fixes = [write(place, f"{right}{between}")] if is_free else []
    named = "write `except` and a name for these days, and a line `days` with that name"
    yield RULE.finding(
        place,
        f"`{text[keyword.start : end]}` does not limit the pause",
        "what is paused is asked on no day, with these words or without them",
        f"{fixes[0].words if fixes else named}, without `paused`",
        fixes=fixes,
    )


def _limit(words: list[Token], paused: int, today: int) -> int | None:
    """Which word begins what is meant to limit a pause; None where nothing is.

    It stands right behind `paused`. The formatter writes `until` before it: there the words count
    while that day is still to come.
    """
    at = next(number for number, one in enumerate(words) if one.start == paused)
    if words[at + 1 : at + 2] and words[at + 1].text in _OPPOSITE:
        return at + 1
    until = (n for n in range(at - 1) if words[n].kind == "UNTIL" and words[n + 1].kind == "DATE")
    number = next(until, None)
    is_over = number is None or date.fromisoformat(words[number + 1].text).toordinal() < today
    return None if is_over else number


def _in_force(word: str, value: str) -> str:
    """The clause for the days that a pause leaves, by the clause that was to limit it."""
    if word == "from":
        value = str(date.fromisoformat(value) - timedelta(1))
    return f"{_OPPOSITE[word]} {value}"

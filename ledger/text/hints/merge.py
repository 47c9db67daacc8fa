"""Merge marks: which lines are marks of an unfinished merge, and what a finding says of a
conflict."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import NamedTuple

from ledger.text.finding import UNFINISHED_MERGE, Finding
from ledger.text.source import Source, TextRange

LEAST = 7
"""The fewest signs that a mark has; git writes as many by default."""

# As git writes them: the signs, and maybe a blank and the name of a side.
_SIGNS = (rf"{sign}{{{LEAST},}}" for sign in ("<", r"\|", "=", ">"))
_MARK = re.compile(f"({'|'.join(_SIGNS)})(?: .*)?")
_LONGEST = 50

_WHY = (
    "both sides are read as if both were meant, so a chore may stand twice, or the wrong one of "
    "two may count; the marks themselves are no lines of a book"
)


class Conflict(NamedTuple):
    """A conflict, by the lines of its marks; lines count from 0."""

    first: int
    """The line of its first mark."""
    base: int
    """The line of the mark after our side: `|||||||` where there is one, else `middle`."""
    middle: int
    last: int


def is_mark(text: str) -> bool:
    """True for a line that is one of git's marks of a conflict."""
    return _MARK.fullmatch(text) is not None


def mark_length(text: str) -> int:
    """How many signs a mark has; 0 for any other line."""
    mark = _MARK.fullmatch(text)
    return len(mark[1]) if mark else 0


def mark_finding(source: Source, number: int) -> Finding:
    """The finding of a mark.

    Each later mark of a conflict has the first one in `see`: together they are one fault.
    """
    mark = _MARK.fullmatch(source.lines[number])
    assert mark is not None
    place = TextRange(source, number, 0, mark.end(1))
    conflict = _conflicts(source).get(number)
    if conflict is None:
        return UNFINISHED_MERGE.finding(
            place,
            "a mark that a merge has left stands here alone",
            "it is no line of a book, and what it parted may still stand twice",
            "look at the lines around it, then delete it",
        )
    opening = source.lines[conflict.first]
    see = () if number == conflict.first else (TextRange(source, conflict.first, 0, len(opening)),)
    return UNFINISHED_MERGE.finding(
        place,
        f"a merge is unfinished here: {_sides(source, conflict)}",
        _WHY,
        "keep the side you want, or write what both mean, and delete the lines that begin with "
        f"{' and '.join(_signs(source, conflict))}",
        see,
    )


def one_a_conflict(findings: list[Finding]) -> list[Finding]:
    """The findings, with only the first mark of each conflict."""
    return [
        finding for finding in findings if finding.rule != UNFINISHED_MERGE.name or not finding.see
    ]


def _sides(source: Source, conflict: Conflict) -> str:
    lines = source.lines
    ours = lines[conflict.first + 1 : conflict.base]
    theirs = lines[conflict.middle + 1 : conflict.last]
    return f"{_side(ours)} or {_side(theirs)}"


def _side(lines: list[str]) -> str:
    texts = [" ".join(line.split()) for line in lines if line.strip()]
    if not texts:
        return "nothing"
    if len(texts) > 1:
        return f"{len(texts)} lines"
    return f"`{texts[0]}`" if len(texts[0]) <= _LONGEST else f"`{texts[0][: _LONGEST - 1]}…`"


def _signs(source: Source, conflict: Conflict) -> list[str]:
    numbers = dict.fromkeys((conflict.first, conflict.base, conflict.middle, conflict.last))
    return [source.lines[number].split(" ")[0] for number in numbers]


@lru_cache(maxsize=8)
def _conflicts(source: Source) -> Mapping[int, Conflict]:
    """The complete conflicts of a source, by the line of each of their marks."""
    return MappingProxyType(
        {number: conflict for conflict in _complete_conflicts(source.lines) for number in conflict}
    )


def _complete_conflicts(lines: list[str]) -> Iterator[Conflict]:
    # A conflict inside a conflict has marks of another length.
    open_marks: dict[int, dict[str, int]] = {}
    for number, text in enumerate(lines):
        mark = _MARK.fullmatch(text)
        if mark is None:
            continue
        sign, length = mark[1][0], len(mark[1])
        if sign == "<":
            open_marks[length] = {sign: number}
            continue
        marks = open_marks.get(length, {})
        wanted = {"|": {"<"}, "=": {"<", "|"}, ">": {"<", "|", "="}}[sign]
        if not marks or not marks.keys() <= wanted or (sign == ">" and "=" not in marks):
            open_marks.pop(length, None)
            continue
        marks[sign] = number
        if sign == ">":
            middle = marks["="]
            yield Conflict(marks["<"], marks.get("|", middle), middle, number)
            del open_marks[length]

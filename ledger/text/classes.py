"""Classes of words: what each word of a line is, as an editor colours it (FORMAT.md 18)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from ledger.text.builder import step_of
from ledger.text.clauses import CLAUSES, ChoreLine
from ledger.text.parser import LineFault, ParseNode, Parser, Token, kind_of, parser
from ledger.text.source import UNSAFE
from ledger.text.tree import STEP
from ledger.text.values import check_name

COMMENT, TITLE, DATE, DURATION, NUMBER = "comment", "title", "date", "duration", "number"
VERB, NAME, PERSON, AREA, KEYWORD = "verb", "name", "person", "area", "keyword"
CLASSES = (COMMENT, TITLE, DATE, DURATION, NUMBER, VERB, NAME, PERSON, AREA, KEYWORD)

_BY_KIND = {
    "COMMENT": COMMENT, "TITLE": TITLE, "DATE": DATE, "CLOCK": DATE, "INT": NUMBER,
    "DID": VERB, "SKIPPED": VERB, "MOVED": VERB, "WORKED": VERB,
}  # fmt: skip
_CLAUSES = CLAUSES[ChoreLine]
_DURATIONS = {rule for clause in _CLAUSES if clause.kind == DURATION for rule in clause.rules}
_AREAS = {"area", *(rule for clause in _CLAUSES if clause.names == AREA for rule in clause.rules)}


class Classed(NamedTuple):
    """A word and its class; places are code points from the start of its line."""

    start: int
    end: int
    kind: str


@lru_cache(maxsize=1 << 14)
def classes_of(text: str) -> tuple[Classed, ...]:
    """The words of one line in order, without commas; none where the line is unreadable.

    A readable line with an impossible value, such as 31 June, still has its classes.
    """
    words = text.lstrip(" \t")
    if not words or UNSAFE.search(text) is not None:
        return ()
    start = len(text) - len(words)
    if words[0] == "#":
        return (Classed(start, len(text), COMMENT),)
    if words[0] == STEP:
        _, begin, end = step_of(text, start).text
        sign = Classed(start, start + 1, KEYWORD)
        return (sign, Classed(begin, end, TITLE)) if begin < end else (sign,)
    line_parser = parser()
    try:
        parse_node = line_parser.parse(text, kind_of(text))
    except LineFault:
        return ()
    named = {start: kind for (start, _), kind in _names(parse_node, NAME)}
    # The grammar accepts characters that a name may not hold (FORMAT.md 3).
    if any(check_name(text[start:end]) is not None for (start, end), _ in _names(parse_node, NAME)):
        return ()
    return tuple(_classed(line_parser, text, named, list(_durations(parse_node))))


def is_name(text: str, keyword: str = "") -> bool:
    """True for what the grammar reads as one name, with nothing left over: that of a chore, or of
    what the keyword declares."""
    start = len(keyword) + 1
    *_, last = classes_of(f"{keyword} {text}") or [None]
    return last in [Classed(start, start + len(text), kind) for kind in (NAME, PERSON, AREA)]


def _classed(
    line_parser: Parser, text: str, named: Mapping[int, str], durations: Sequence[tuple[int, int]]
) -> Iterator[Classed]:
    for token in line_parser.tokens(text):
        if token.text == ",":
            continue
        kind = named.get(token.start) or _BY_KIND.get(token.kind, KEYWORD)
        if any(start <= token.start < end for start, end in durations):
            kind = DURATION
        yield Classed(token.start, token.end, kind)


def _names(parse_node: ParseNode, kind: str) -> Iterator[tuple[tuple[int, int], str]]:
    """Where the names in a parse node stand, and the class of each."""
    if parse_node.rule == "person_name":
        yield (parse_node.start, parse_node.end), PERSON
    elif parse_node.rule == "days_name":
        yield (parse_node.start, parse_node.end), NAME
    elif parse_node.rule == "name":
        yield (parse_node.start, parse_node.end), kind
    else:
        below = AREA if parse_node.rule in _AREAS else kind
        for child in parse_node.children:
            if isinstance(child, ParseNode):
                yield from _names(child, below)


def _durations(parse_node: ParseNode) -> Iterator[tuple[int, int]]:
    for child in parse_node.children:
        if isinstance(child, Token):
            continue
        if child.rule in _DURATIONS:
            yield child.start, child.end
        else:
            yield from _durations(child)

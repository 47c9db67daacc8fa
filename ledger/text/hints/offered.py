"""A line as it is offered: its names as they are declared, the clauses of a chore in columns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ledger.text.clauses import CLAUSES, ChoreLine, SectionHeader
from ledger.text.hints.facts import Facts
from ledger.text.hints.reading import node_of, reads
from ledger.text.hints.vocabulary import declared
from ledger.text.parser import parser
from ledger.text.parts import Located, Names
from ledger.text.tree import AbsentLine, Node, RecordLine

_OPENERS = frozenset(one.keyword for one in CLAUSES[ChoreLine])
_GOES_ON = frozenset(
    ("in", "by", "uses", "after", "of", "or", "then", "and", "during", "except", ",")
)
"""Words behind which another word is a name, whatever it is."""


def as_declared(line: str, facts: Facts) -> str:
    """A line that reads, with its names as the file declares them; any other as it is."""
    if not reads(line):
        return line
    node = node_of(line)
    for begin, end, name in sorted(_declared(node, facts), reverse=True):
        line = f"{line[:begin]}{name}{line[end:]}"
    return line


def _declared(node: Node, facts: Facts) -> Iterator[tuple[int, int, str]]:
    """Names that are declared in another spelling, each with its place."""
    for names, known in _names(node, facts):
        for name in names:
            right = declared(name.value, known)
            if right is not None and right != name.value:
                yield name.start, name.end, right


def _names(node: Node, facts: Facts) -> Iterator[tuple[Names, Iterable[str]]]:
    if isinstance(node, ChoreLine):
        yield node.areas, facts.areas
        yield node.assignment.people if node.assignment else (), facts.people
        yield node.after, facts.chores
    elif isinstance(node, RecordLine):
        yield tuple(item.name for item in node.entry.items), facts.chores
        yield node.entry.people, facts.people
    elif isinstance(node, AbsentLine):
        yield node.people, facts.people
    if isinstance(node, ChoreLine | SectionHeader):
        for items in (node.during, node.excepted):
            named = (item for item in items if item.value.kind == "named")
            names = (Located(item.value.name, item.start, item.end) for item in named)
            yield tuple(names), facts.days


def in_columns(line: str) -> str:
    """The line of a chore with two blanks before each of its clauses."""
    out, end, last = "", 0, ""
    for token in parser().tokens(line):
        gap = line[end : token.start]
        is_number = token.kind == "INT" and last not in ("h", "min")
        opens = token.text in _OPENERS or is_number or token.kind in ("TITLE", "COMMENT")
        if opens and end and last not in _GOES_ON and gap == " ":
            gap = "  "
        out, end, last = f"{out}{gap}{token.text}", token.end, token.text
    return out + line[end:]

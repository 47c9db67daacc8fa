"""Names: where chores, areas, people, things and days are named, in the routine and the record."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from lsprotocol import types as lsp

from ledger.editor.documents import path_of
from ledger.editor.view import View
from ledger.household.names import KINDS_OF_DAY
from ledger.text.clauses import ChoreLine, NamedDays, SectionHeader, clause_values
from ledger.text.parts import Located, Name
from ledger.text.record_line import DATE_WIDTH
from ledger.text.source import TextRange
from ledger.text.tree import AbsentLine, Declared, LimitLine, Node, RecordEntry, RecordLine, Tree

CHORE, AREA, PERSON, THING, NAMED_DAYS = "chore", "area", "person", "thing", "days"


class NameUse(NamedTuple):
    """A name in a line."""

    kind: str
    """chore, area, person, thing or days."""
    name: Name
    declares: bool = False
    """True if the line declares the name and does not only use it."""


class CursorPosition(NamedTuple):
    """An editor's position as besom counts it."""

    path: str
    line: int
    column: int


def cursor_position(view: View, uri: str, position: lsp.Position) -> CursorPosition:
    """The position of the cursor in a text, as besom counts it."""
    path = path_in(view, uri)
    line, column = view.positions(path).own(position) if path in view.trees else (0, 0)
    return CursorPosition(path, line, column)


def path_in(view: View, uri: str) -> str:
    """The path of a text in the household; of any other text its path or URI."""
    return next((path for path in view.trees if view.uri(path) == uri), path_of(uri) or uri)


def node_at(tree: Tree, number: int) -> Node | None:
    """What a line of a text says; None if it is blank, a comment or cannot be read."""
    record = tree.record
    at = bisect_left(record.numbers, number)
    if at < len(record.numbers) and record.numbers[at] == number:
        return RecordLine(Located(record.dates[at], 0, DATE_WIDTH), record.entries[at])
    at = bisect_left(tree.lines, number, key=lambda line: line.number)
    if at < len(tree.lines) and tree.lines[at].number == number:
        return tree.lines[at].node
    return None


def name_at(view: View, where: CursorPosition) -> NameUse | None:
    """The name at the cursor, or right before it; None if there is none."""
    tree = view.trees.get(where.path)
    uses = names_in(node_at(tree, where.line)) if tree is not None else ()
    touching = [use for use in uses if use.name.start <= where.column <= use.name.end]
    # A name alone behind `limit` is that of a person or of named days.
    return max(
        touching,
        key=lambda use: (
            use.name.start,
            use.kind == NAMED_DAYS and use.name.value in view.household.named_days,
        ),
        default=None,
    )


def places_of(view: View, kind: str, name: str, declared_only: bool = False) -> Iterator[TextRange]:
    """All places of a name, file by file and line by line."""
    for tree in view.trees.values():
        places = list(_in_lines(tree, kind, name, declared_only))
        if not declared_only:
            places += _in_record(tree, kind, name)
        yield from sorted(places, key=lambda place: place[1:])


def _in_lines(tree: Tree, kind: str, name: str, declared_only: bool) -> Iterator[TextRange]:
    for line in tree.lines:
        for one in names_in(line.node):
            if one.kind == kind and one.name.value == name and one.declares >= declared_only:
                yield one.name.at(tree.source, line.number)


def _in_record(tree: Tree, kind: str, name: str) -> Iterator[TextRange]:
    # Equal lines share one entry, so the names of each entry are looked up once.
    known: dict[int, list[Name]] = {}
    record = tree.record
    for number, entry in zip(record.numbers, record.entries, strict=True):
        names = known.get(id(entry))
        if names is None:
            names = known[id(entry)] = [
                one.name for one in _names_of(entry) if one.kind == kind and one.name.value == name
            ]
        for one in names:
            yield one.at(tree.source, number)


def names_in(node: Node | None) -> Iterator[NameUse]:
    """The names in a line, in no order."""
    if isinstance(node, Declared):
        yield NameUse(node.keyword, node.name, declares=True)
    elif isinstance(node, NamedDays):
        yield NameUse(NAMED_DAYS, node.name, declares=True)
    elif isinstance(node, LimitLine):
        yield from _limited(node)
    elif isinstance(node, AbsentLine):
        yield from _named(NAMED_DAYS, node.spans.names)
        yield from _named(PERSON, node.people)
    elif isinstance(node, ChoreLine | SectionHeader):
        yield from _in_clauses(node)
    elif isinstance(node, RecordLine):
        yield from _names_of(node.entry)


def _limited(node: LimitLine) -> Iterator[NameUse]:
    if node.kind is None:
        if node.who.value not in KINDS_OF_DAY:
            yield NameUse(PERSON, node.who)
            yield NameUse(NAMED_DAYS, node.who)
        return
    yield NameUse(PERSON, node.who)
    if node.kind.value not in KINDS_OF_DAY:
        yield NameUse(NAMED_DAYS, node.kind)


def _in_clauses(node: ChoreLine | SectionHeader) -> Iterator[NameUse]:
    if isinstance(node, ChoreLine):
        yield NameUse(CHORE, node.name, declares=True)
    for clause, value in clause_values(node):
        if clause.kind == "day-list":
            for (kind, _, _, name), start, end in value:
                if kind == "named":
                    yield NameUse(NAMED_DAYS, Located(name, start, end))
        elif clause.names:
            yield from _named(clause.names, value.people if clause.kind == "turn" else value)


def _names_of(entry: RecordEntry) -> Iterator[NameUse]:
    yield from _named(CHORE, (item.name for item in entry.items))
    yield from _named(PERSON, entry.people)


def _named(kind: str, names: Iterable[Name]) -> Iterator[NameUse]:
    return (NameUse(kind, name) for name in names)

"""Outline: the sections of a file with their chores, what it declares, its record by month."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from lsprotocol import types as lsp

from ledger.editor.positions import Positions
from ledger.editor.sections import Block, blocks, months
from ledger.editor.view import View
from ledger.household.names import title_of
from ledger.text.cadences import write_cadence
from ledger.text.clauses import ChoreLine, NamedDays, SectionHeader
from ledger.text.parts import Located
from ledger.text.tree import AbsentLine, Declared, LimitLine, Line, Setting
from ledger.text.words import counted, duration
from ledger.text.writer import write_line

_GROUPS = {
    "person": "People", "area": "Areas", "days": "Days", "limit": "Limits", "away": "Away",
    "rest": "Rest",
}  # fmt: skip


_KINDS = {
    "person": lsp.SymbolKind.Object, "area": lsp.SymbolKind.Class, "days": lsp.SymbolKind.Enum,
}  # fmt: skip


def outline(view: View, path: str) -> list[lsp.DocumentSymbol]:
    """The symbols of a file in order of place."""
    tree, positions = view.trees[path], view.positions(path)
    symbols = [
        *_declarations(tree.lines, positions),
        *(_section(block, positions) for block in blocks(tree)),
        *(
            _symbol(
                positions,
                (month.first, month.last),
                month.name,
                lsp.SymbolKind.Event,
                counted(month.lines, "line", "lines"),
            )
            for month in months(tree)
        ),
    ]
    return sorted(symbols, key=lambda symbol: symbol.range.start.line)


def _declarations(lines: Iterable[Line], positions: Positions) -> Iterator[lsp.DocumentSymbol]:
    """Groups of declarations of one kind that follow each other."""
    group: list[lsp.DocumentSymbol] = []
    kind = ""
    for line in lines:
        keyword = _keyword(line)
        if keyword != kind and (keyword or line.node is not None) and group:
            yield _grouped(kind, group)
            group = []
        if keyword:
            kind = keyword
            group.append(_declared(line, positions))
    if group:
        yield _grouped(kind, group)


def _keyword(line: Line) -> str:
    node = line.node
    if isinstance(node, Declared | AbsentLine):
        return node.keyword
    return {LimitLine: "limit", NamedDays: "days", Setting: "household"}.get(type(node), "")


def _grouped(kind: str, group: list[lsp.DocumentSymbol]) -> lsp.DocumentSymbol:
    whole = lsp.Range(group[0].range.start, group[-1].range.end)
    return lsp.DocumentSymbol(
        _GROUPS.get(kind, "Household"),
        lsp.SymbolKind.Namespace,
        whole,
        group[0].selection_range,
        children=group,
    )


def _declared(line: Line, positions: Positions) -> lsp.DocumentSymbol:
    node = line.node
    whole = positions.line(line.number)
    text = whole[: line.comment.start if line.comment else len(whole)].strip()
    if isinstance(node, Declared | NamedDays):
        name = node.name.value
        # Named days may have many lines, each with days of its own.
        is_days = isinstance(node, NamedDays)
        said = write_line(node).removeprefix(f"days {name} ")
        detail = said if is_days else title_of(name, node.title)
        span = line.number, line.number
        return _symbol(positions, span, name, _KINDS[_keyword(line)], detail, node.name)
    return _symbol(positions, (line.number, line.number), text, lsp.SymbolKind.Property)


def _section(block: Block, positions: Positions) -> lsp.DocumentSymbol:
    node = block.header.node
    assert isinstance(node, SectionHeader)
    cadence, said = write_cadence(node.cadence.value), write_line(node._replace(title=None))
    title = node.title.value if node.title and node.title.value else None
    symbol = _symbol(
        positions,
        (block.header.number, block.last),
        title or cadence,
        lsp.SymbolKind.Array,
        (said if title else said.removeprefix(cadence).strip()) or None,
        node.cadence,
    )
    symbol.children = [_chore(line, block, positions) for line in block.chores]
    return symbol


def _chore(line: Line, block: Block, positions: Positions) -> lsp.DocumentSymbol:
    node = line.node
    assert isinstance(node, ChoreLine)
    steps = len(block.steps.get(line.number, ()))
    words = [
        duration(node.minutes.value) if node.minutes else "",
        counted(steps, "step", "steps") if steps else "",
    ]
    span = line.number, block.last_of(line)
    kind, detail = lsp.SymbolKind.Function, ", ".join(filter(None, words))
    return _symbol(positions, span, node.name.value, kind, detail or None, node.name)


def _symbol(
    positions: Positions,
    span: tuple[int, int],
    name: str,
    kind: lsp.SymbolKind,
    detail: str | None = None,
    selected: Located[Any] | None = None,
) -> lsp.DocumentSymbol:
    """A symbol; `selected` is the part of its first line that it is known by, else the line."""
    first, last = span
    start, end = selected[1:] if selected else (0, len(positions.line(first)))
    return lsp.DocumentSymbol(
        name,
        kind,
        lsp.Range(positions.at(first, 0), positions.at(last, len(positions.line(last)))),
        positions.range(first, start, end),
        detail,
    )

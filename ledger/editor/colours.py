"""Semantic tokens: the class of each word, as editors colour it."""

from __future__ import annotations

from lsprotocol import types as lsp

from ledger.editor.positions import Positions, units
from ledger.editor.view import View
from ledger.text import classes

_TYPES = {
    classes.COMMENT: lsp.SemanticTokenTypes.Comment,
    classes.TITLE: lsp.SemanticTokenTypes.String,
    classes.DATE: lsp.SemanticTokenTypes.EnumMember,
    classes.DURATION: lsp.SemanticTokenTypes.Number,
    classes.NUMBER: lsp.SemanticTokenTypes.Number,
    classes.VERB: lsp.SemanticTokenTypes.Function,
    classes.NAME: lsp.SemanticTokenTypes.Variable,
    classes.PERSON: lsp.SemanticTokenTypes.Parameter,
    classes.AREA: lsp.SemanticTokenTypes.Type,
    classes.KEYWORD: lsp.SemanticTokenTypes.Keyword,
}
_ORDER = list(dict.fromkeys(_TYPES.values()))
_INDEX = {kind: _ORDER.index(token_type) for kind, token_type in _TYPES.items()}
LEGEND = lsp.SemanticTokensLegend([one.value for one in _ORDER], [])


def tokens(view: View, path: str, range_: lsp.Range | None = None) -> lsp.SemanticTokens:
    """The words of a file, or of the lines that a range touches, encoded as in the protocol."""
    positions = view.positions(path)
    count = len(view.trees[path].source.lines)
    first, last = 0, count - 1
    if range_ is not None:
        first, last = positions.own(range_.start)[0], positions.own(range_.end)[0]
    data: list[int] = []
    before = lsp.Position(0, 0)
    for number in range(first, min(last, count - 1) + 1):
        before = _add(data, before, positions, number)
    return lsp.SemanticTokens(data)


def _add(data: list[int], before: lsp.Position, positions: Positions, number: int) -> lsp.Position:
    """Add the words of a line, each with its distance from the one before."""
    text = positions.line(number)
    words = classes.classes_of(text)
    if not words:
        return before
    margin = positions.at(number, 0)
    for start, end, kind in words:
        column = margin.character + units(text[:start])
        lines = margin.line - before.line
        along = column - before.character if lines == 0 else column
        data += (lines, along, units(text[start:end]), _INDEX[kind], 0)
        before = lsp.Position(margin.line, column)
    return before

"""Clauses: one unit put together from three versions of it, clause by clause."""

from __future__ import annotations

from typing import Any, NamedTuple

from ledger.text.alignment import cells, in_columns
from ledger.text.tree import ChoreLine, Declared, LimitLine, Name, Node, SectionHeader
from ledger.text.writer import INDENT, write_line
from ledger.versions.units import Unit


class Piece(NamedTuple):
    """What becomes of a unit: one line, or the two that somebody must choose from."""

    lead: tuple[str, ...]
    ours: str | None
    """The line; where it clashes, as our side has it, None where that side took it out."""
    theirs: str | None
    """The line as the other side has it; equal to `ours` where nothing clashes."""

    @property
    def clashes(self) -> bool:
        """True where the two sides want different things."""
        return self.ours != self.theirs


def put_together(base: Unit | None, ours: Unit | None, theirs: Unit | None) -> Piece | None:
    """One unit from three versions of it; None where a side took it out and the other left it.

    Of each clause that only one side changed, its change stands.
    """
    if ours is None or theirs is None:
        return _one_sided(base, ours, theirs)
    if ours.text == theirs.text and ours.lead == theirs.lead:
        return Piece(ours.lead, ours.text, ours.text)
    lead = merged_lead(base, ours, theirs)
    comment, beside = _comment(base.comment if base else "", ours.comment, theirs.comment)
    lead += tuple(above(ours, other) for other in beside)
    # Of two ways to write the same, that of the side stands which changed it.
    first, second = (theirs, ours) if base and ours.text == base.text else (ours, theirs)
    if ours.node is None or theirs.node is None:
        # What cannot be read is known by its words: both sides have the same.
        return Piece(lead, first.text, first.text)
    our_node, their_node = _nodes(base.node if base else None, ours.node, theirs.node)
    if our_node == their_node:
        line = _line(our_node, comment, first, second)
        return Piece(lead, line, line)
    return Piece(lead, _line(our_node, comment, ours), _line(their_node, comment, theirs))


def merged_lead(base: Unit | None, ours: Unit, theirs: Unit) -> tuple[str, ...]:
    """The lines above a unit: those of the side that changed them; of two that did, ours, less
    what theirs took out, and with what theirs put in."""
    before = base.lead if base else ()
    if theirs.lead in (before, ours.lead):
        return ours.lead
    if ours.lead == before:
        return theirs.lead
    theirs_has, others_have = set(theirs.lead), {*before, *ours.lead}
    gone = {line for line in before if line.strip() and line not in theirs_has}
    new = [line for line in theirs.lead if line.strip() and line not in others_have]
    return (*(line for line in ours.lead if line not in gone), *new)


def above(unit: Unit, comment: str) -> str:
    """The comment at a line's end as a line of its own."""
    return unit.text[: len(unit.text) - len(unit.text.lstrip(" \t"))] + comment


def _one_sided(base: Unit | None, ours: Unit | None, theirs: Unit | None) -> Piece | None:
    here = ours or theirs
    assert here is not None, "a unit stands on one side at least"
    if base is None:
        return Piece(here.lead, here.text, here.text)
    if here.node == base.node and here.section == base.section:
        return None
    return Piece(here.lead, ours.text if ours else None, theirs.text if theirs else None)


def _comment(base: str, ours: str, theirs: str) -> tuple[str, tuple[str, ...]]:
    """The comment at the line's end, and one that must go above it as there are two."""
    if theirs in (base, ours):
        return ours, ()
    if ours == base:
        return theirs, ()
    if not ours or not theirs:
        return ours or theirs, ()
    return ours, (theirs,)


def _nodes(base: Node | None, ours: Node, theirs: Node) -> tuple[Node, Node]:
    """The node as each side would have it, with all that does not clash taken from both."""
    our_changes: dict[str, Any] = {}
    their_changes: dict[str, Any] = {}
    for clauses in _clauses(ours):
        before = [_said(base, clause) if base else _unsaid(ours, clause) for clause in clauses]
        our_values = [_said(ours, clause) for clause in clauses]
        their_values = [_said(theirs, clause) for clause in clauses]
        if our_values == before:
            our_changes |= zip(clauses, their_values, strict=True)
        elif their_values == before:
            their_changes |= zip(clauses, our_values, strict=True)
    return ours._replace(**our_changes), theirs._replace(**their_changes)


def _clauses(node: Node) -> list[tuple[str, ...]]:
    """The clauses of a node, those together that mean nothing apart."""
    if isinstance(node, SectionHeader):
        # Of every third week it is the `from` that says which.
        others = [name for name in node._fields if name not in ("cadence", "first")]
        return [("cadence", "first"), *((name,) for name in others)]
    return [(name,) for name in node._fields]


def _said(node: Node, clause: str) -> object:
    value: object = getattr(node, clause)
    return value


def _unsaid(node: Node, clause: str) -> object:
    """What a node has for a clause that is not given; a value of its own for one that must be."""
    return node._field_defaults.get(clause, _MUST)


_MUST = object()


def _line(node: Node, comment: str, *sides: Unit) -> str:
    """The line that says a node: as a side has it where one does, else written anew."""
    for side in sides:
        if side.node == node and side.comment == comment:
            return side.text
    return _anew(node, comment)


def _anew(node: Node, comment: str) -> str:
    """The line that says a node, shaped as the formatter shapes one that stands alone."""
    if not isinstance(node, (ChoreLine, Declared, LimitLine)):
        return write_line(node, Name(comment, 0, 0) if comment else None)
    (text,) = in_columns([cells(node)])
    indent = INDENT if isinstance(node, ChoreLine) else ""
    return f"{indent}{text}  {comment}" if comment else indent + text

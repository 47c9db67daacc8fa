"""Clauses: one unit merged from three versions of it, clause by clause."""

from __future__ import annotations

from typing import Any

from ledger.text.alignment import cells, in_columns
from ledger.text.clauses import ChoreLine, NamedDays, SectionHeader
from ledger.text.parts import Name
from ledger.text.tree import Declared, LimitLine, Node
from ledger.text.writer import INDENT, write_line
from ledger.versions import lists
from ledger.versions.pieces import Choice, Piece, agreed
from ledger.versions.steps import merged_steps, said
from ledger.versions.units import Unit


def put_together(base: Unit | None, ours: Unit | None, theirs: Unit | None) -> Piece | None:
    """One unit from three versions of it; None where one side removed it and the other kept it as
    it was.

    Of each clause that only one side changed, the change is taken.
    """
    if ours is None or theirs is None:
        return _one_sided(base, ours, theirs)
    steps = merged_steps(base.steps if base else (), ours.steps, theirs.steps)
    if ours.text == theirs.text and ours.lead == theirs.lead:
        return Piece(ours.lead, (agreed(ours.text), *steps))
    lead = merged_lead(base, ours, theirs)
    comment, second_comments = _comment(base.comment if base else "", ours.comment, theirs.comment)
    lead += tuple(above(ours, other) for other in second_comments)
    # Of two ways to write the same, the side that changed it has its way.
    first, second = (theirs, ours) if base and ours.text == base.text else (ours, theirs)
    if ours.node is None or theirs.node is None:
        # An unreadable line is known by its words: both sides have the same.
        return Piece(lead, (agreed(first.text), *steps))
    our_node, their_node = _nodes(base.node if base else None, ours.node, theirs.node)
    if our_node == their_node:
        return Piece(lead, (agreed(_line(our_node, comment, first, second)), *steps))
    lines = _line(our_node, comment, ours), _line(their_node, comment, theirs)
    return Piece(lead, (Choice(lines[:1], lines[1:]), *steps))


def merged_lead(base: Unit | None, ours: Unit, theirs: Unit) -> tuple[str, ...]:
    """The lines above a unit, from the side that changed them. If both did: our lines, without
    those that theirs removed, and with those that theirs added."""
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
    """A comment from a line's end, as a line of its own."""
    return unit.text[: len(unit.text) - len(unit.text.lstrip(" \t"))] + comment


def _one_sided(base: Unit | None, ours: Unit | None, theirs: Unit | None) -> Piece | None:
    unit = ours or theirs
    assert unit is not None, "a unit stands on one side at least"
    if base is None:
        return Piece(unit.lead, (agreed(*unit.lines),))
    if _says_the_same(unit, base):
        return None
    return Piece(unit.lead, (Choice(ours.lines if ours else (), theirs.lines if theirs else ()),))


def _says_the_same(one: Unit, other: Unit) -> bool:
    return (
        one.section == other.section
        and _meaning(one.node) == _meaning(other.node)
        and said(one.steps) == said(other.steps)
    )


def _meaning(node: Node | None) -> object:
    """What a node says, whatever the order of its lists."""
    if node is None:
        return None
    return type(node), [lists.meaning(clause, _value(node, clause)) for clause in node._fields]


def _comment(base: str, ours: str, theirs: str) -> tuple[str, tuple[str, ...]]:
    """The comment for the line's end, and one to go above the line where there are two."""
    if theirs in (base, ours):
        return ours, ()
    if ours == base:
        return theirs, ()
    if not ours or not theirs:
        return ours or theirs, ()
    return ours, (theirs,)


def _nodes(base: Node | None, ours: Node, theirs: Node) -> tuple[Node, Node]:
    """The nodes of our side and theirs, each with the changes of the other that do not clash."""
    our_changes: dict[str, Any] = {}
    their_changes: dict[str, Any] = {}
    for clauses in _clauses(ours, theirs):
        before = [_value(base, clause) if base else _default(ours, clause) for clause in clauses]
        our_values = [_value(ours, clause) for clause in clauses]
        their_values = [_value(theirs, clause) for clause in clauses]
        old, mine, others = (
            list(map(lists.meaning, clauses, values))
            for values in (before, our_values, their_values)
        )
        if mine == old:
            our_changes |= zip(clauses, their_values, strict=True)
        elif others in (old, mine):
            their_changes |= zip(clauses, our_values, strict=True)
        elif len(clauses) == 1:
            (clause,) = clauses
            both = lists.put_together(clause, *before, *our_values, *their_values)
            if both is not None:
                our_changes[clause] = their_changes[clause] = both
    return ours._replace(**our_changes), theirs._replace(**their_changes)


def _clauses(ours: Node, theirs: Node) -> list[tuple[str, ...]]:
    """The clauses of a node, in groups that only mean something together."""
    groups: list[tuple[str, ...]] = []
    if isinstance(ours, (SectionHeader, NamedDays)):
        # In `every 3 weeks`, the `from` says which weeks.
        groups.append(("cadence", "first"))
    if isinstance(ours, (SectionHeader, ChoreLine)):
        # A line cannot be both.
        groups.append(("vital", "spare"))
    if isinstance(ours, NamedDays) and isinstance(theirs, NamedDays):
        is_mixed = (ours.spans is None) != (theirs.spans is None)
        # No line has both spans and a cadence.
        groups = [("spans", "cadence", "within", "first", "last")] if is_mixed else groups
    grouped = {clause for group in groups for clause in group}
    return [*groups, *((clause,) for clause in ours._fields if clause not in grouped)]


def _value(node: Node, clause: str) -> object:
    value: object = getattr(node, clause)
    return value


def _default(node: Node, clause: str) -> object:
    """The value of a clause that is not given; `_REQUIRED` for a clause that must be given."""
    return node._field_defaults.get(clause, _REQUIRED)


_REQUIRED = object()


def _line(node: Node, comment: str, *sides: Unit) -> str:
    """The line for a node: that of a side which has just this, else a new one."""
    for side in sides:
        if side.node == node and side.comment == comment:
            return side.text
    return _new_line(node, comment)


def _new_line(node: Node, comment: str) -> str:
    """A new line for a node, formatted as if no line were next to it."""
    if not isinstance(node, (ChoreLine, Declared, LimitLine, NamedDays)):
        return write_line(node, Name(comment, 0, 0) if comment else None)
    (text,) = in_columns([cells(node)])
    indent = INDENT if isinstance(node, ChoreLine) else ""
    return f"{indent}{text}  {comment}" if comment else indent + text

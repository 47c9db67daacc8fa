"""Faulty lines: which kind of line each is taken for, and which chores it silences."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from ledger.text.finding import Finding, Fix
from ledger.text.parser import LineFault, ParseNode, kind_of, parser
from ledger.text.tree import STEP, Tree
from ledger.text.values import ValueFault, bad_name, check_name

SECTION = "section"
MARK = "mark"

_MOST = 4
"""The longest list of silenced chores that is named in full."""


def kind_taken(text: str) -> str:
    """The kind of an unreadable line, by its first characters: section, chore, step, record,
    comment or mark.

    A line that may be a header is taken for one, so that its chores do not fall to another section.
    """
    words = text.lstrip(" \t")
    if words.startswith(("#", STEP)):
        return "step" if words[0] == STEP else "comment"
    from ledger.text.hints.merge import is_mark

    if is_mark(text):
        return MARK
    kind = kind_of(text).removesuffix("_line")
    return SECTION if kind == "declaration" else kind


def kind_read(parse_node: ParseNode) -> str:
    """The kind of a line that the grammar reads, although a value in it is impossible: section,
    declaration, chore or record."""
    kind = parse_node.rule.removesuffix("_line")
    return SECTION if cast(ParseNode, parse_node.children[0]).rule == SECTION else kind


def first_fault(text: str, fault: LineFault | ValueFault) -> LineFault | ValueFault:
    """The fault to report for a line, given the one that reading met.

    A bad name makes a line unreadable. So it goes before any impossible value, and before a fault
    of the grammar further on in the line.
    """
    is_ungrammatical = isinstance(fault, LineFault)
    end = fault.token.start if is_ungrammatical else len(text)
    for token in parser().tokens(text):
        if token.start >= end:
            break
        wrong = check_name(token.text) if token.kind == "NAME" else None
        if wrong is not None:
            name_fault = bad_name(token, wrong, is_ungrammatical)
            return name_fault if _is_mended(text, name_fault.fixes) else name_fault.without_fixes()
    return fault.with_traceback(None)


def _is_mended(text: str, fixes: Sequence[Fix]) -> bool:
    """True where each of some fixes alone makes the line readable."""
    from ledger.text.hints.reading import reads

    edits = (edit for fix in fixes for edit in fix.edits)
    return all(reads(text[: edit.start] + edit.new + text[edit.end :]) for edit in edits)


def with_silenced(fault: Finding, tree: Tree) -> Finding:
    """The finding of a faulty header, with the names of the chores that it silences."""
    return Finding.late(
        lambda: _with_names(fault, tree), rule=fault.rule, severity=fault.severity, line=fault.line
    )


def _with_names(fault: Finding, tree: Tree) -> Finding:
    _, header = fault.line
    names = list(dict.fromkeys(f"`{chore.name.value}`" for chore in tree.below(header)))
    if not names:
        return fault
    verb = "comes" if len(names) == 1 else "come"
    return replace(fault, why=f"{fault.why}, and {_joined(names)} below it {verb} up nowhere")


def _joined(names: Sequence[str]) -> str:
    if len(names) > _MOST:
        names = [*names[: _MOST - 1], f"{len(names) - _MOST + 1} more"]
    *others, last = names
    return f"{', '.join(others)} and {last}" if others else last

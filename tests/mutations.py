"""Mutations: small changes to a program, each of which a test should notice.

What a text or a type hint says is left alone: a test of a message is a copy of it.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from difflib import unified_diff
from typing import NamedTuple

COMPARISONS: Mapping[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
}
OPERATORS: Mapping[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.FloorDiv,
    ast.FloorDiv: ast.Mult,
}
JOINERS: Mapping[type[ast.boolop], type[ast.boolop]] = {ast.And: ast.Or, ast.Or: ast.And}
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}
UNTOUCHED = {"annotation", "returns", "decorator_list"}
"""Parts of a program that say nothing of what it computes, or what is kept between two calls."""


class Site(NamedTuple):
    """A place in a program, and what stands there in a mutant."""

    node: ast.stmt | ast.expr
    new: ast.stmt | ast.expr
    lines: range
    """Lines of the statement down to the place, counted from 1: who runs none of them cannot
    notice."""


def sites(tree: ast.Module) -> Iterator[Site]:
    """All places of a program with each of their changes, from top to bottom."""
    for statement in tree.body:
        yield from _below(statement, statement)


def mutant(text: str, site: Site) -> str | None:
    """The text of a program with one place changed; None where that is no program, or the same."""
    lines = text.encode().splitlines(keepends=True)
    start = sum(map(len, lines[: site.node.lineno - 1])) + site.node.col_offset
    end_line, end_column = site.node.end_lineno or 0, site.node.end_col_offset or 0
    end = sum(map(len, lines[: end_line - 1])) + end_column
    new = ast.unparse(site.new)
    if not isinstance(site.new, ast.stmt | ast.Constant | ast.Call | ast.Subscript):
        new = f"({new})"
    whole = text.encode()
    changed = (whole[:start] + new.encode() + whole[end:]).decode()
    try:
        is_same = ast.dump(ast.parse(changed)) == ast.dump(ast.parse(text))
        compile(changed, "mutant", "exec")
    except SyntaxError:
        return None
    return None if is_same else changed


def difference(text: str, changed: str) -> list[str]:
    """The lines that differ, with `-` before and `+` after the change."""
    diff = unified_diff(text.splitlines(), changed.splitlines(), n=0, lineterm="")
    return [line for line in diff if not line.startswith(("---", "+++", "@@"))]


def _below(node: ast.stmt | ast.expr, statement: ast.stmt) -> Iterator[Site]:
    """The places in a part of a program, itself among them."""
    lines = range(statement.lineno, _end(node, statement) + 1)
    yield from (Site(node, new, lines) for new in _changes(node))
    # The places inside an f-string are not known, and it is a message mostly.
    for child in () if isinstance(node, ast.JoinedStr) else _children(node):
        yield from _below(child, child if isinstance(child, ast.stmt) else statement)


def _end(node: ast.stmt | ast.expr, statement: ast.stmt) -> int:
    is_block = node is statement and hasattr(statement, "body")
    return statement.lineno if is_block else node.end_lineno or node.lineno


def _children(node: ast.AST) -> Iterator[ast.stmt | ast.expr]:
    """The statements and expressions right below a part, past what is neither."""
    if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
        return
    for name, value in ast.iter_fields(node):
        for one in value if isinstance(value, list) else [value]:
            if name in UNTOUCHED or not isinstance(one, ast.AST):
                continue
            if isinstance(one, ast.stmt | ast.expr):
                yield one
            else:
                yield from _children(one)


def _changes(node: ast.stmt | ast.expr) -> Iterator[ast.stmt | ast.expr]:
    """What may stand in the place of a part."""
    match node:
        case ast.Compare(left, operators, others):
            for n, one in enumerate(operators):
                swapped = [*operators[:n], COMPARISONS[type(one)](), *operators[n + 1 :]]
                yield ast.Compare(left, swapped, others)
        case ast.BinOp(left, operator, right):
            if type(operator) in OPERATORS and not (_is_text(left) or _is_text(right)):
                yield ast.BinOp(left, OPERATORS[type(operator)](), right)
        case ast.BoolOp(operator, values):
            yield ast.BoolOp(JOINERS[type(operator)](), values)
        case ast.UnaryOp(ast.Not(), operand):
            yield operand
        case ast.Constant(bool(value)):
            yield ast.Constant(not value)
        case ast.Constant(int(value)):
            yield ast.Constant(value + 1)
        case ast.Call(ast.Name(name), arguments, keywords) if name in NAMES:
            yield ast.Call(ast.Name(NAMES[name]), arguments, keywords)
        case ast.Subscript(value, ast.Constant(0), context):
            yield ast.Subscript(value, ast.Constant(-1), context)
        case ast.Subscript(value, ast.UnaryOp(ast.USub(), ast.Constant(1)), context):
            yield ast.Subscript(value, ast.Constant(0), context)
        case ast.Return(None | ast.Constant(None)) | ast.Expr(ast.Constant()):
            pass
        case ast.Return():
            yield ast.Return(ast.Constant(None))
        case ast.Expr() | ast.AugAssign() | ast.Raise() | ast.Continue() | ast.Break():
            yield ast.Pass()
        case ast.Assign(targets=[ast.Attribute() | ast.Subscript()]) | ast.Delete():
            yield ast.Pass()


def _is_text(node: ast.expr) -> bool:
    """True for what is put together as text, where no other operator has a meaning."""
    return isinstance(node, ast.JoinedStr) or (
        isinstance(node, ast.Constant) and isinstance(node.value, str)
    )

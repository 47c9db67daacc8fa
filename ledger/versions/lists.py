"""Lists: what the lists of a line say whatever their order, and two changed ones put together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from ledger.text.clauses import Turn, plain
from ledger.text.parts import Spans

_NOTHING_IF_EMPTY = frozenset({"areas", "things", "after", "excepted"})
_ANY_IF_EMPTY = frozenset({"during", "people", "spans", "assignment"})
"""Lists that limit a line: without any item it holds for every day, or for everyone."""


class _List(NamedTuple):
    """The items of a clause, and what else it says."""

    kind: object
    items: tuple[Any, ...]


def meaning(clause: str, value: Any) -> object:
    """The value of a clause, for comparing: the order of its items counts only where it says
    something."""
    listed = _listed(clause, value)
    return value if listed is None else (listed.kind, frozenset(listed.items))


def put_together(clause: str, base: Any, ours: Any, theirs: Any) -> Any:
    """A list that two sides changed, with the changes of both; None where they contradict each
    other.

    They do where both took one item out and put in different ones, and where no item would be left
    of a list that limits its line.
    """
    three = [_listed(clause, value) for value in (base, ours, theirs)]
    lists = [one for one in three if one is not None]
    if len(lists) < len(three) or len({one.kind for one in lists}) > 1:
        return None
    before, mine, others = (dict.fromkeys(one.items) for one in lists)
    gone_here, gone_there = before.keys() - mine.keys(), before.keys() - others.keys()
    new_here, new_there = mine.keys() - before.keys(), others.keys() - before.keys()
    if gone_here & gone_there and new_here != new_there:
        return None
    kept = [item for item in before if item in mine and item in others]
    items = [*kept, *_in_order(new_here | new_there)]
    if clause in _ANY_IF_EMPTY and not (before and mine and others and items):
        return None
    if all(list(one) == _in_order(one) for one in (mine, others)):
        items = _in_order(items)
    return _rebuilt(ours, items)


def _listed(clause: str, value: Any) -> _List | None:
    """The items of a clause; None where it is no list, or where its order counts."""
    if isinstance(value, Turn):
        return None if value.form == "then" else _List(value.form, value.people)
    if isinstance(value, Spans):
        if value.names:
            return _List("names", value.names)
        is_open = any(last is None for _, last in value.dates)
        return _List("open" if is_open else "dates", value.dates)
    if clause in _NOTHING_IF_EMPTY | _ANY_IF_EMPTY and isinstance(value, tuple):
        return _List("", value)
    return None


def _in_order(items: Iterable[Any]) -> list[Any]:
    return sorted(items, key=plain)


def _rebuilt(value: Any, items: Sequence[Any]) -> Any:
    """A value of the same kind as another, with other items."""
    if isinstance(value, Turn):
        return value._replace(people=tuple(items))
    if isinstance(value, Spans):
        return Spans(names=tuple(items)) if value.names else Spans(tuple(items))
    return tuple(items)

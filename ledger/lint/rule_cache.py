"""The rule cache: what rules answered before, for as long as they look at the same data."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, TypeVar, cast

T = TypeVar("T")

_PLAIN = (int, str, tuple, list, frozenset, type(None))


class RuleCache:
    """Answers by label, each with the data it was made from.

    An editor lints a household at every key that is typed, and a key changes little of it.
    """

    def __init__(self) -> None:
        self._kept: dict[Hashable, list[tuple[tuple[object, ...], Any]]] = {}
        self._asked: set[Hashable] = set()

    def once(self, label: Hashable, make: Callable[[], T], *made_from: object) -> T:
        """What `make` returns. It is called again only if `made_from` is not what it was.

        Numbers, texts, tuples and lists are compared by value. All else must be the same object,
        since equality leaves places out. Nobody may change the answer.
        """
        self._asked.add(label)
        answers = self._kept.setdefault(label, [])
        for known, answer in answers:
            if all(map(_is_same, known, made_from)):
                return cast(T, answer)
        answer = make()
        # While a line is being typed it is invalid for a few keystrokes, and then as before.
        self._kept[label] = [(made_from, answer), *answers[:1]]
        return answer

    def settle(self) -> None:
        """Forget what was not asked for since the last call: its chore or file is gone."""
        for label in self._kept.keys() - self._asked:
            del self._kept[label]
        self._asked.clear()


def _is_same(one: object, other: object) -> bool:
    # A named tuple may hold places, so only plain tuples are compared by value.
    return one is other or (type(one) in _PLAIN and one == other)

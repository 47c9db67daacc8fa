"""Days away: `away` lines, which may overlap, nest or touch, as ordered separate stretches."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from heapq import heappop, heappush
from itertools import accumulate
from operator import itemgetter

Span = tuple[int, int]
"""First and last day, both included, as ordinals."""


class Away:
    """The days on which somebody is away, and why."""

    def __init__(self, lines: Iterable[tuple[int, int, str]]) -> None:
        """`lines` have first day, last day and title, in the order of the book."""
        self._stretches = _stretches(list(lines))
        self._firsts = [first for first, _, _ in self._stretches]
        self.spans = apart((first, last) for first, last, _ in self._stretches)
        """The days away as spans in order, with a day at home between any two."""
        self._begins = [first for first, _ in self.spans]
        self._days = list(accumulate((last - first + 1 for first, last in self.spans), initial=0))

    def title(self, day: int) -> str | None:
        """The title of the first line that holds a day: "" if it has none, None at home."""
        index = bisect_right(self._firsts, day) - 1
        if index < 0 or self._stretches[index][1] < day:
            return None
        return self._stretches[index][2]

    def count(self, first: int, last: int) -> int:
        """How many days from `first` to `last` are days away."""
        return max(0, self._up_to(last) - self._up_to(first - 1))

    def _up_to(self, day: int) -> int:
        index = bisect_right(self._begins, day)
        beyond = max(0, self.spans[index - 1][1] - day) if index else 0
        return self._days[index] - beyond


def _stretches(lines: list[tuple[int, int, str]]) -> list[tuple[int, int, str]]:
    """The days of some lines, each day once, with the title of the first line that holds it."""
    by_first = sorted(range(len(lines)), key=lambda number: lines[number][0])
    stretches: list[tuple[int, int, str]] = []
    open_lines: list[int] = []
    upcoming, day = 0, 0
    while upcoming < len(by_first) or open_lines:
        if not open_lines:
            day = max(day, lines[by_first[upcoming]][0])
        while upcoming < len(by_first) and lines[by_first[upcoming]][0] <= day:
            heappush(open_lines, by_first[upcoming])
            upcoming += 1
        _, last, title = lines[open_lines[0]]
        if last < day:
            heappop(open_lines)
            continue
        if upcoming < len(by_first):
            last = min(last, lines[by_first[upcoming]][0] - 1)
        stretches.append((day, last, title))
        day = last + 1
    return stretches


def apart(spans: Iterable[Span]) -> list[Span]:
    """Spans in order; those that overlap or touch are merged."""
    merged: list[Span] = []
    for first, last in sorted(spans):
        if merged and first <= merged[-1][1] + 1:
            merged[-1] = merged[-1][0], max(last, merged[-1][1])
        else:
            merged.append((first, last))
    return merged


def span_at(day: int, spans: Sequence[Span]) -> Span | None:
    """The span that holds a day. The spans must be in order and separate."""
    # Only the last span to begin by then can hold it.
    index = bisect_right(spans, day, key=itemgetter(0)) - 1
    return spans[index] if index >= 0 and spans[index][1] >= day else None

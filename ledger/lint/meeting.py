"""Meeting: which chores come round on one day, in the year ahead."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from ledger.calendar.absence import Span
from ledger.household.model import Chore, Routine
from ledger.keeping.status import after_done_now
from ledger.lint.book import LintedBook


def spans_of(book: LintedBook, name: str, routine: Routine | None = None) -> list[Span]:
    """The windows of a chore in the year ahead, or of one of its lines, as spans in order.

    Of a line `after done` only the window that it has now is known.
    """
    shares = book.ahead[name]
    found = [
        (window.first, window.last)
        for share in shares[:1]
        for window in share.windows
        if not window.excused and (routine is None or window.routine is routine)
    ]
    waiting = shares[0].timeline.after_done(book.days_ahead[-1]) if shares else None
    if waiting is not None and (routine is None or waiting is routine):
        span, _ = after_done_now(shares[0].timeline, waiting, book.today)
        if span is not None:
            found.append(_from_today(span, book.today))
    return sorted(found)


def is_after_done(chore: Chore) -> bool:
    """True where the windows of a chore, or some of them, are not known beforehand."""
    return any(line.section.is_after_done for line in chore.routines)


def first_meeting(one: Sequence[Span], other: Sequence[Span]) -> tuple[Span, Span] | None:
    """The first pair of spans, one of each row, that share a day; each row in order and apart."""
    return next(meetings(one, other), None)


def meetings(one: Sequence[Span], other: Sequence[Span]) -> Iterator[tuple[Span, Span]]:
    """The pairs of spans, one of each row, that share a day."""
    left = right = 0
    while left < len(one) and right < len(other):
        here, there = one[left], other[right]
        if here[0] <= there[1] and there[0] <= here[1]:
            yield here, there
        if here[1] <= there[1]:
            left += 1
        else:
            right += 1


def first_met(spans: Sequence[Span]) -> dict[int, int]:
    """For each span that shares a day with an earlier one in the row, which is the first of
    these; both by their places in the row, whose spans come in any order of days."""
    by_first = sorted(range(len(spans)), key=lambda place: spans[place][0])
    firsts = [spans[place][0] for place in by_first]
    latest = _Latest([spans[place][1] for place in by_first])
    leaf_of = {place: leaf for leaf, place in enumerate(by_first)}
    found: dict[int, int] = {}
    for place, (first, last) in enumerate(spans):
        # Those before it are gone, so all that it meets now are later, and meet none before it.
        latest.remove(leaf_of[place])
        for leaf in latest.reaching(first, bisect_right(firsts, last)):
            found[by_first[leaf]] = place
            latest.remove(leaf)
    return found


class _Latest:
    """Days in a row, of which those that reach a day are found without a look at the others."""

    def __init__(self, days: Sequence[int]) -> None:
        self._size = 1 << len(days).bit_length()
        # A tree: each node has the latest day of the two below it.
        self._tree = [0] * self._size + [*days] + [0] * (self._size - len(days))
        for node in range(self._size - 1, 0, -1):
            self._tree[node] = max(self._tree[2 * node : 2 * node + 2])

    def remove(self, place: int) -> None:
        """Take a day out of the row."""
        node = self._size + place
        self._tree[node] = 0
        while node > 1:
            node //= 2
            self._tree[node] = max(self._tree[2 * node : 2 * node + 2])

    def reaching(self, day: int, end: int) -> list[int]:
        """The places before `end` of the days that are not before a day."""
        found, nodes = [], [(1, 0, self._size)]
        while nodes:
            node, start, width = nodes.pop()
            if start >= end or self._tree[node] < day:
                continue
            if width == 1:
                found.append(start)
            else:
                half = width // 2
                nodes += [(2 * node, start, half), (2 * node + 1, start + half, half)]
        return found


def _from_today(span: Span, today: int) -> Span:
    """What is overdue can be done any day: its window reaches to today."""
    return span[0], max(span[1], today)

"""Meeting: which chores share a day in the year ahead."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from ledger.calendar.absence import Span
from ledger.household.model import Chore, Routine
from ledger.keeping.status import after_done_now
from ledger.lint.book import LintedBook


def spans_of(book: LintedBook, name: str, routine: Routine | None = None) -> list[Span]:
    """The windows of a chore, or of one of its lines, in the year ahead, as spans in order.

    Of a line `after done`, only its current window is known.
    """
    shares = book.ahead[name]
    spans = [
        (window.first, window.last)
        for share in shares[:1]
        for window in share.windows
        if not window.excused and (routine is None or window.routine is routine)
    ]
    after_done_line = shares[0].timeline.after_done(book.days_ahead[-1]) if shares else None
    if after_done_line is not None and (routine is None or after_done_line is routine):
        span, _ = after_done_now(shares[0].timeline, after_done_line, book.today)
        if span is not None:
            spans.append(_from_today(span, book.today))
    return sorted(spans)


def is_after_done(chore: Chore) -> bool:
    """True where a chore has a line `after done`, whose windows are not known beforehand."""
    return any(line.section.is_after_done for line in chore.routines)


def first_meeting(one: Sequence[Span], other: Sequence[Span]) -> tuple[Span, Span] | None:
    """The first pair of spans, one from each list, that share a day; None where none do."""
    return next(meetings(one, other), None)


def meetings(one: Sequence[Span], other: Sequence[Span]) -> Iterator[tuple[Span, Span]]:
    """The pairs of spans, one from each list, that share a day. Both lists are sorted, and no two
    spans of one list overlap."""
    left = right = 0
    while left < len(one) and right < len(other):
        left_span, right_span = one[left], other[right]
        if left_span[0] <= right_span[1] and right_span[0] <= left_span[1]:
            yield left_span, right_span
        if left_span[1] <= right_span[1]:
            left += 1
        else:
            right += 1


def first_met(spans: Sequence[Span]) -> dict[int, int]:
    """For each span that shares a day with one before it in the list, the first of those; both by
    their positions. The list need not be sorted."""
    by_first = sorted(range(len(spans)), key=lambda place: spans[place][0])
    firsts = [spans[place][0] for place in by_first]
    latest = _Latest([spans[place][1] for place in by_first])
    leaf_of = {place: leaf for leaf, place in enumerate(by_first)}
    found: dict[int, int] = {}
    for place, (first, last) in enumerate(spans):
        # The spans before it are removed, so it meets later ones only, which met none before.
        latest.remove(leaf_of[place])
        for leaf in latest.reaching(first, bisect_right(firsts, last)):
            found[by_first[leaf]] = place
            latest.remove(leaf)
    return found


class _Latest:
    """A list of days, which finds those not before a day without looking at all of them."""

    def __init__(self, days: Sequence[int]) -> None:
        self._size = 1 << len(days).bit_length()
        # A tree: each node has the latest day of the two below it.
        self._tree = [0] * self._size + [*days] + [0] * (self._size - len(days))
        for node in range(self._size - 1, 0, -1):
            self._tree[node] = max(self._tree[2 * node : 2 * node + 2])

    def remove(self, place: int) -> None:
        """Remove the day at a position."""
        node = self._size + place
        self._tree[node] = 0
        while node > 1:
            node //= 2
            self._tree[node] = max(self._tree[2 * node : 2 * node + 2])

    def reaching(self, day: int, end: int) -> list[int]:
        """The positions below `end` whose days are not before a day."""
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
    """The span, extended to today: an overdue window can be done on any day."""
    return span[0], max(span[1], today)

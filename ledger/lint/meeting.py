"""Meeting: which chores share a day in the year ahead."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from ledger.household.model import Chore, Household, Routine, Span
from ledger.keeping.history import shares_of
from ledger.lint.book import ChoreAhead, LintedBook
from ledger.text.parts import Name


class AskedDays(NamedTuple):
    """Days in a row on which a window is asked."""

    first: int
    last: int
    choice: int
    """On how many days its window is asked."""


def asked_days(book: LintedBook, name: str, routine: Routine | None = None) -> Sequence[AskedDays]:
    """The days of the year ahead on which a chore, or one of its lines, is asked, in order.

    Of a line `after done`, only its current window is known.
    """
    chore = book.household.chores[name]

    def work_out() -> Sequence[AskedDays]:
        if chore.is_after_done:
            days = _after_done(book.household, chore, book.days_ahead[-1])
        else:
            days = (one for share in book.ahead[name] for one in _on_calendar(share, routine))
        # Each person's own share of a chore mostly has the days of the others.
        return sorted({*days})

    return book.household.remember(("asked days", name, id(routine)), work_out)


def _on_calendar(share: ChoreAhead, routine: Routine | None) -> Iterator[AskedDays]:
    for window in share.windows:
        if routine is None or window.routine is routine:
            days, asked = window[:2], share.timeline.line_of(window.routine).asked
            choice = asked.count(*days)
            is_whole = choice == window.last - window.first + 1
            for first, last in [days] if is_whole else asked.runs(*days):
                yield AskedDays(first, last, choice)


def _after_done(household: Household, chore: Chore, high: int) -> Iterator[AskedDays]:
    """The days from today on. A window that is overdue today can be done today."""
    today = household.today
    for share in shares_of(household, chore, today, today):
        one = share.owed or next(share.ahead(), None)
        if one is not None:
            last = max(one.last, today)
            for day in range(max(one.first, today), min(last, high) + 1):
                if one.is_asked(day):
                    yield AskedDays(day, day, last - one.first + 1)


class Order(NamedTuple):
    """A line of a chore that says it comes `after` another chore, where the calendar alone gives
    the days of both."""

    chore: str
    line: Routine
    other: Name
    """The other chore, as the line names it."""
    own: Sequence[AskedDays]
    """The days of the line in the year ahead."""
    theirs: Sequence[AskedDays]
    """Those of the other chore."""


def orders(book: LintedBook) -> Iterator[Order]:
    """All such names behind `after`, each by itself; without those of which one of the two is on no
    day."""
    for name, chore in book.household.chores.items():
        for line in chore.routines:
            if not line.after or line.section.is_after_done:
                continue
            own = asked_days(book, name, line)
            for other in book.line_of(line).after:
                earlier = book.household.chores.get(other.value)
                if earlier is None or earlier is chore or earlier.is_after_done:
                    continue
                theirs = asked_days(book, other.value)
                if own and theirs:
                    yield Order(name, line, other, own, theirs)


def first_meeting(
    one: Sequence[AskedDays], other: Sequence[AskedDays]
) -> tuple[AskedDays, AskedDays] | None:
    """The first pair, one from each list, that shares a day; None where none does."""
    return next(meetings(one, other), None)


def meetings(
    one: Sequence[AskedDays], other: Sequence[AskedDays]
) -> Iterator[tuple[AskedDays, AskedDays]]:
    """The pairs, one from each list, that share a day. Both lists are sorted; of pairs with days
    that overlap in one list, not all may be given."""
    left = right = 0
    while left < len(one) and right < len(other):
        ours, theirs = one[left], other[right]
        if ours.first <= theirs.last and theirs.first <= ours.last:
            yield ours, theirs
        if ours.last <= theirs.last:
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

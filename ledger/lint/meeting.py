"""Meeting: which chores come round on one day, in the year ahead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.household.model import Chore, Routine
from ledger.lint.book import Book
from ledger.schedule.absence import Span
from ledger.schedule.status import after_done_now


def spans_of(book: Book, name: str, routine: Routine | None = None) -> list[Span]:
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


def hangs_on_record(chore: Chore) -> bool:
    """True where the windows of a chore, or some of them, are not known beforehand."""
    return any(line.section.cadence.kind == "after-done" for line in chore.routines)


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


def _from_today(span: Span, today: int) -> Span:
    """What is overdue can be done any day: its window reaches to today."""
    return span[0], max(span[1], today)

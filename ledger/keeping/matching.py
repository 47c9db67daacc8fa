"""Matching: which line of the record settles which window of a chore.

Lines are taken in order of date. A line inside an unmatched window takes it. A line between
two windows takes the nearer of the two that is unmatched, in days: late for the one before,
early for the one after; at equal distance it is late. A line that finds neither is an extra.
`did` and `skipped` settle the window they take; `moved` puts it on another day, where it is
still to be done. A window cannot be moved onto the days of its neighbours or beyond them:
such a line is an extra too, so windows stay in order and never overlap.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from ledger.calendar.windows import Timeline, Window
from ledger.household.record import Log


class RecordReference(NamedTuple):
    """A line of the record as one chore sees it."""

    day: int
    verb: str
    to: int | None
    """The day that `moved` names."""
    line: int
    """Index of the line in the log."""


@dataclass
class MatchedWindow:
    """A window and what became of it."""

    window: Window
    first: int
    last: int
    """The days it is to be done on, after any move."""
    mark: RecordReference | None = None
    """The `did` or `skipped` line that settled it."""


def marks_of(
    log: Log, chore: str, person: str | None, low: int | None = None, high: int | None = None
) -> list[RecordReference]:
    """The lines that name a chore, from day `low` to `high`, in order.

    For one person's own share: of these the lines that name the person or nobody.
    """
    return list(_marks(log, _positions(log, chore, low, high), person))


def latest_marks(log: Log, chore: str, person: str | None, day: int) -> Iterator[RecordReference]:
    """As `marks_of`, for all lines up to a day and the latest first."""
    return _marks(log, reversed(_positions(log, chore, None, day)), person)


def _positions(log: Log, chore: str, low: int | None, high: int | None) -> Sequence[int]:
    positions = log.by_chore.get(chore, ())
    dates = log.dates
    start = 0 if low is None else bisect_left(positions, low, key=dates.__getitem__)
    end = len(positions) if high is None else bisect_right(positions, high, key=dates.__getitem__)
    return positions[start:end]


def _marks(log: Log, positions: Iterable[int], person: str | None) -> Iterator[RecordReference]:
    for index in positions:
        entry = log.entries[index]
        people = entry.people
        if person is None or not people or any(person == name.value for name in people):
            to = entry.to.value if entry.to else None
            yield RecordReference(log.dates[index], entry.verb, to, index)


def match(
    windows: Sequence[Window], marks: Iterable[RecordReference]
) -> tuple[list[MatchedWindow], list[RecordReference]]:
    """What became of each window, and the extra lines. Excused windows take no line.

    Windows must be in order and must not overlap; marks must be in order of date.
    """
    occasions = [MatchedWindow(w, w.first, w.last) for w in windows if not w.excused]
    firsts = [occasion.first for occasion in occasions]
    extras = []
    for mark in marks:
        index = _window_for(occasions, firsts, mark.day)
        if index is None or not _settle(occasions, firsts, index, mark):
            extras.append(mark)
    return occasions, extras


def _window_for(occasions: list[MatchedWindow], firsts: list[int], day: int) -> int | None:
    """Index of the window that a line of a day takes."""
    before = bisect_right(firsts, day) - 1
    if before >= 0 and day <= occasions[before].last:
        return before if occasions[before].mark is None else None
    after = before + 1
    late = day - occasions[before].last if _open(occasions, before) else None
    early = occasions[after].first - day if _open(occasions, after) else None
    if late is None:
        return None if early is None else after
    return before if early is None or late <= early else after


def _open(occasions: list[MatchedWindow], index: int) -> bool:
    return 0 <= index < len(occasions) and occasions[index].mark is None


def _settle(
    occasions: list[MatchedWindow], firsts: list[int], index: int, mark: RecordReference
) -> bool:
    occasion = occasions[index]
    if mark.to is None:
        occasion.mark = mark
        return True
    after_previous = index == 0 or occasions[index - 1].last < mark.to
    before_next = index + 1 == len(occasions) or mark.to < occasions[index + 1].first
    if not (after_previous and before_next):
        return False
    occasion.first = occasion.last = firsts[index] = mark.to
    return True


def occasions(timeline: Timeline, log: Log, low: int, high: int, day: int) -> list[MatchedWindow]:
    """At least the calendar windows from the one before `low` to the one after `high`, matched
    with the lines dated up to `day`."""
    return matched_around(timeline, log, low, high, day)[0]


def matched_around(
    timeline: Timeline, log: Log, low: int, high: int, day: int
) -> tuple[list[MatchedWindow], list[RecordReference]]:
    """As `occasions`, with the extra lines.

    The result equals that of a match from the first line on, but the cost does not grow with the
    record: matching starts after a gap between windows that no earlier line can reach across.
    """
    following = timeline.coming(high, 2)
    earlier = timeline.last_opened(low)
    moves = log.moves.get(timeline.chore.name, ())
    span = 16
    while True:
        start = timeline.days_before(earlier.first if earlier else low, span)
        windows = [*timeline.at_home(start, high), *following]
        marks = marks_of(log, timeline.chore.name, timeline.person, start, day)
        cut = _quiet_gap(windows, marks, moves, low)
        if cut is not None:
            first = windows[cut].first
            return match(windows[cut:], (mark for mark in marks if mark.day >= first))
        if start < timeline.first_day(day):
            marks = marks_of(log, timeline.chore.name, timeline.person, high=day)
            return match(windows, marks)
        span *= 8


def _quiet_gap(
    windows: Sequence[Window], marks: Sequence[RecordReference], moves: Sequence[int], low: int
) -> int | None:
    """Index of the latest window, before the last opened by `low`, that no earlier line reaches.

    No line is dated between it and the window before it, no move is dated from its first day to
    the next window, and no chain of earlier moves reaches either of the two.
    """
    days = [mark.day for mark in marks]
    firsts = [window.first for window in windows]
    reaches = list(_reaches(firsts, moves)) if firsts else []
    for index in range(bisect_right(firsts, low) - 2, 0, -1):
        no_line_between = bisect_right(days, windows[index - 1].last) == bisect_left(
            days, firsts[index]
        )
        earlier_moves = bisect_left(moves, firsts[index])
        not_moved = earlier_moves == bisect_left(moves, firsts[index + 1])
        if no_line_between and not_moved and reaches[earlier_moves] < index - 1:
            return index
    return None


def _reaches(firsts: Sequence[int], moves: Sequence[int]) -> Iterator[int]:
    """The highest index of a window that the moves may have moved: before any, and after each.

    A move reaches the window after its day, and one more for each window that earlier moves put
    before that day. For moves before the first window the worst is assumed.
    """
    reach = -1
    yield reach
    for day in moves:
        reach = max(reach + 1, bisect_right(firsts, day)) if day >= firsts[0] else reach + 1
        yield reach

"""History: the windows of a chore with what became of them, worked out once for a day asked."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import takewhile

from ledger.calendar.occurrences import period_at
from ledger.calendar.presence import there
from ledger.calendar.windows import Timeline, Window
from ledger.household.model import Chore, Household
from ledger.keeping.after_done import AfterDoneRow
from ledger.keeping.occasion import Occasion
from ledger.keeping.record_lines import RecordReference, lines_of
from ledger.keeping.rows import Row

FIRST_SPAN = 16
"""Days before the window asked for in which a quiet one is looked for first."""
FEWEST = 3
"""Windows of which one may be quiet: it lies between two others."""


def timelines(household: Household, chore: Chore) -> list[Timeline]:
    """A chore's timelines: one, or one for each person whom a line lets do their own share."""
    assignments = (line.assignment for line in chore.routines)
    sharing = (person for form, people in assignments if form == "each" for person in people)
    return [Timeline(household, chore, person) for person in dict.fromkeys(sharing) or (None,)]


class Share:
    """A chore, or one person's share of it, with what became of its windows by a day."""

    def __init__(self, row: Row | AfterDoneRow, on: int) -> None:
        self._row, self.on = row, on
        self.timeline = row.timeline
        self.owed = row.owed(on)
        """The window that is still to be done, or None."""
        if self.owed is not None:
            self.owed.is_owed = True
            if not self.owed.is_asked(on):
                self.owed.closes = row.closes
        self.extras: Sequence[RecordReference] = row.extras
        """Lines of the record that found no window."""

    @property
    def occasions(self) -> list[Occasion]:
        """The windows that have opened by the day or that the record has touched, in order."""
        return self._row.up_to(self.on)

    @property
    def standing(self) -> Occasion | None:
        """The window by which it stands on the day: the one that is owed, else the latest, if that
        is settled. None before the first window, and where the latest was missed."""
        return self.owed or self._row.settled

    @property
    def shown(self) -> Occasion | None:
        """The window that the list of the day shows: it is owed, and asked on that day."""
        one = self.owed
        return one if one is not None and one.is_asked(self.on) else None

    @property
    def closes(self) -> int:
        """The last day on which the window that is owed may be owed."""
        return self._row.closes

    def closes_of(self, one: Occasion) -> int:
        """The last day on which a window that is owed no more was owed, if nothing settled it."""
        return self._row.closes_of(one) if isinstance(self._row, Row) else self._row.closes

    def settled_today(self) -> list[Occasion]:
        """The windows that were settled on the day."""
        return [one for one in self.occasions if one.mark is not None and one.mark.day == self.on]

    @property
    def unattended(self) -> Occasion | None:
        """A `vital` window to be done on the day, or another on its last day, that nobody is there
        to do, although it is a day of the household for it."""
        household = self.timeline.household
        for one in reversed(self.occasions):
            vital = one.routine.vital
            is_to_do = one.first <= self.on <= one.last if vital else one.last == self.on
            is_to_do = is_to_do or (vital and one.is_owed)
            if is_to_do and one.mark is None and not one.is_asked(self.on):
                in_force = self.timeline.line_of(one.routine).force.holds(self.on)
                is_there = there(household, None, vital).holds(self.on)
                return one if in_force and is_there else None
        return None

    def ahead(self) -> Iterator[Occasion]:
        """The windows that open after the day and are not settled, in order, without excused ones.
        Of an `after done` line only the next is known."""
        known = list(self._row.known)
        yield from (
            one
            for one in known
            if one.first > self.on and not (one.mark or one.is_excused or one.is_gone)
        )
        # Lines of the record change no windows after the known ones. A known one that was moved may
        # lie before the day.
        last = max((self.on, *(one.opened for one in known)))
        for window in self.timeline.coming(last):
            yield Occasion(self.timeline, window, window.first, window.last, self.on)

    def to_do(self, high: int) -> Iterator[Occasion]:
        """The window that is owed, if it is still asked, and those that open later, up to a day.
        Each window of an `after done` line is taken as done on its first day, or on the day asked
        if it is owed."""
        if self.owed is not None and self.owed.asked_span(self.on) is not None:
            yield self.owed
        if isinstance(self._row, AfterDoneRow):
            yield from self._row.one_after_another(max(self.on + 1, 1), high)
        else:
            yield from takewhile(lambda one: one.first <= high, self.ahead())


def shares_of(household: Household, chore: Chore, low: int, on: int) -> Sequence[Share]:
    """A chore's shares, with its windows from the one before day `low` on, by the record up to day
    `on`."""
    key = "shares", chore.name, on
    known: tuple[int, Sequence[Share]] | None = household.memory.get(key)
    if known is None or low < known[0]:
        low, rows = _rows(household, chore, low, on)
        known = low, [Share(row, on) for row in rows]
        household.memory[key] = known
    return known[1]


def shares_with(household: Household, chore: Chore, line: RecordReference) -> Sequence[Share]:
    """As `shares_of` on the day of a line that the record does not have yet, once it has it."""
    _, rows = _rows(household, chore, line.day, line.day)
    _give(rows, [line])
    return [Share(row, line.day) for row in rows]


def without_window(shares: Sequence[Share]) -> set[int]:
    """The lines of the record, by their indices, that found no window of anybody whom they are
    for."""
    missed = Counter(line for share in shares for line in share.extras)
    people = [share.timeline.person for share in shares]
    return {
        line.line for line, count in missed.items() if count == sum(map(line.speaks_for, people))
    }


def _rows(
    household: Household, chore: Chore, low: int, on: int
) -> tuple[int, Sequence[Row] | Sequence[AfterDoneRow]]:
    """The rows of a chore with the record up to day `on`, and the day that they are known from."""
    if chore.is_after_done:
        return low, _after_done(household, chore, on)
    rows = _on_calendar(household, chore, low, on)
    while any(row.is_too_short for row in rows):
        low = min(row.known[0].first for row in rows if row.known) - 1
        rows = _on_calendar(household, chore, low, on)
    return low, rows


def _give(rows: Sequence[Row] | Sequence[AfterDoneRow], lines: Sequence[RecordReference]) -> None:
    """Give lines of the record to the rows that they are for.

    A line other than `did` that names nobody is for those people to whom the list of its day shows
    the chore; if it shows it to nobody, for all.
    """
    for line in lines:
        meant = [row for row in rows if line.speaks_for(row.timeline.person)]
        if len(rows) > 1 and line.verb != "did" and not line.people:
            meant = [row for row in meant if row.shown(line.day)] or meant
        for row in meant:
            row.take(line)


def _after_done(household: Household, chore: Chore, on: int) -> Sequence[AfterDoneRow]:
    """The rows of an `after done` line, by the whole record: its lines are few."""
    rows = [AfterDoneRow(timeline, on) for timeline in timelines(household, chore)]
    _give(rows, lines_of(household.log, chore.name, None, on))
    return rows


def _on_calendar(household: Household, chore: Chore, low: int, on: int) -> Sequence[Row]:
    """The rows of calendar lines.

    The result equals that of taking all lines from the first on, but the cost does not grow with
    the record: it begins with a window that no earlier line can reach.
    """
    log, shares = household.log, timelines(household, chore)
    moves = log.moves.get(chore.name, ())
    begun = min(share.first_day(low) for share in shares)
    latest = (share.last_asked(low) for share in shares)
    base, span = min((window.first for window in latest if window), default=low), FIRST_SPAN
    while True:
        start = base - span
        lines = lines_of(log, chore.name, start, on)
        days = {line.day for line in lines if line.day <= low}
        windows = [share.near(start, low, days) for share in shares]
        cut = _common_cut(shares, windows, lines, moves, low)
        if cut is not None:
            day, indices = cut
            lines = [line for line in lines if line.day >= day]
            # The window before may still stand in the way of a move.
            windows = [some[n - 1 :] for some, n in zip(windows, indices, strict=True)]
            break
        if start < begun:
            lines = lines_of(log, chore.name, None, on)
            break
        # Each earlier move may have moved on one window more: see `_reaches`.
        wanted = bisect_left(moves, start) + FEWEST
        span *= max(2, wanted // max(1, *map(len, windows)) + 1)
    rows = [
        Row(
            share, some, share.following(some[-1].first if some else begun - 1), on, cut is not None
        )
        for share, some in zip(shares, windows, strict=True)
    ]
    _give(rows, lines)
    return rows


def _common_cut(
    shares: Sequence[Timeline],
    windows: Sequence[Sequence[Window]],
    lines: Sequence[RecordReference],
    moves: Sequence[int],
    low: int,
) -> tuple[int, list[int]] | None:
    """The latest day on which each share has a quiet window that opens, with their indices."""
    days = [line.day for line in lines]
    found = [
        {some[index].first: index for index in _quiet(share, some, days, moves, low)}
        for share, some in zip(shares, windows, strict=True)
    ]
    common = set.intersection(*map(set, found))
    if not common:
        return None
    day = max(common)
    return day, [indices[day] for indices in found]


def _quiet(
    share: Timeline,
    windows: Sequence[Window],
    days: Sequence[int],
    moves: Sequence[int],
    low: int,
) -> Iterator[int]:
    """Indices of the windows, before the last opened by `low`, that no earlier line reaches.

    No line is dated between such a window and the one before it, no move is dated from its first
    day to the next window, and no chain of earlier moves reaches either of the two. It is not
    excused, so it drops all before it, and of `N times` it is the first part of its period.
    """
    firsts = [window.first for window in windows]
    reaches = list(_reaches(firsts, moves)) if firsts else []
    for index in range(bisect_right(firsts, low) - 2, 0, -1):
        window, before = windows[index], windows[index - 1]
        no_line_between = bisect_right(days, before.last) == bisect_left(days, window.first)
        earlier_moves = bisect_left(moves, window.first)
        not_moved = earlier_moves == bisect_left(moves, firsts[index + 1])
        if (
            no_line_between
            and not_moved
            and reaches[earlier_moves] < index - 1
            and not window.excused
            and _are_apart(share, before, window, days)
        ):
            yield index


def _are_apart(share: Timeline, before: Window, window: Window, days: Sequence[int]) -> bool:
    """True if no period of `N times` that holds the first day of a window holds a line before it,
    nor the first day of the window before it."""
    for routine in share.routines:
        if routine.section.cadence.times > 1:
            period = period_at(share.line_of(routine).rhythm, window.first)
            if period is not None and (
                before.first >= period[0]
                or bisect_left(days, period[0]) < bisect_left(days, window.first)
            ):
                return False
    return True


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

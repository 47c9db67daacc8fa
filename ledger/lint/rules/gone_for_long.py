"""A chore of a month or more that falls into days on which nobody is there to do it.

Why it matters: it is excused then, and does not come again before its next time: a smoke alarm that
is to be tested each month is not tested for two. A `moved` line puts it on a day before or after.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from math import ceil
from typing import NamedTuple

from ledger.calendar.day_set import all_of
from ledger.calendar.occurrences import period_days
from ledger.calendar.presence import days_absent
from ledger.calendar.windows import Window
from ledger.household.model import Chore, Household, Routine
from ledger.keeping.history import Share, shares_of, shares_with
from ledger.keeping.occasion import Occasion
from ledger.keeping.record_lines import RecordReference
from ledger.lint.book import LintedBook, dated, days_from, iso
from ledger.text.edits import add_line
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
area hall
away 2026-03-06 to 2026-03-15 "By the sea"

every month on first saturday
    smoke-alarm  5 min  in hall
    ^^^^^^^^^^^

2026-02-07 did smoke-alarm
"""

GOOD = """\
area hall
away 2026-03-06 to 2026-03-15 "By the sea"

every month on first saturday
    smoke-alarm  5 min  in hall

2026-02-07 did smoke-alarm
2026-03-04 moved smoke-alarm to 2026-03-05
"""

LEAST_PERIOD = 28
"""Days of the shortest period that is looked at: what comes each week is soon there again."""
PART = 4
"""A day to move to lies at least this part of a period from the times before and after."""


class _Gap(NamedTuple):
    """A window on whose days nobody is there, and a day to move it to."""

    number: int
    """Which line of its chore it comes from."""
    first: int
    last: int
    since: int
    """The day on which its last time before was settled, else that time's last day; without one,
    the first day on which it is in force."""
    was: str
    """What was so on that day."""
    next_day: int | None
    """The day on which it comes next; None if it does not."""
    period: float
    to: int


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each chore whose next window is excused, for all whose windows it has.

    Told is what a `moved` line of today can mend: the window is the next that the record has not
    settled, its period is four weeks or more, and from the last time the chore was done, or was to
    be done, to its next time there are more days than its period. Nothing is said where no day is
    a quarter of the period from both; nor of what is `spare` or `expires`, or was moved already.
    """
    household = book.household
    for name, chore in household.chores.items():
        windows = [next(iter(share.windows), None) for share in book.ahead[name]]
        window = windows[0]
        if window is None or not all(one is not None and one.excused for one in windows):
            continue
        if _is_long(book, window):
            gap = book.memory.once(
                (RULE.name, name),
                partial(_gap, household, chore, window),
                household.log.story(name),
                chore,
                book.calendar,
            )
            if gap is not None:
                yield _finding(book, chore, gap)


def _is_long(book: LintedBook, window: Window) -> bool:
    line = window.routine
    return not (line.spare or line.expires) and _period(book.household, line) >= LEAST_PERIOD


def _period(household: Household, line: Routine) -> float:
    return period_days(line.section.cadence, len(household.weekend))


def _gap(household: Household, chore: Chore, window: Window) -> _Gap | None:
    """The gap that a window leaves which is the first ahead; None if it leaves none, or if no day
    to move it to is good."""
    shares = shares_of(household, chore, household.today, household.today)
    before, after = _before(shares[0], window), next(shares[0].ahead(), None)
    if after is not None and after.opened == window.first:
        return None
    line, period = window.routine, _period(household, window.routine)
    since = before.counted if before is not None else shares[0].timeline.dates(line)[0]
    span = after.asked_span(after.first) if after is not None else None
    if span is not None and span[0] - since <= period:
        return None
    for to in _good_days(shares, window, (before, after), ceil(period / PART)):
        if _can_move(household, chore, window, to):
            number = next(n for n, one in enumerate(chore.routines) if one is line)
            next_day = span[0] if span is not None else None
            return _Gap(number, *window[:2], since, _was(before), next_day, period, to)
    return None


def _before(share: Share, window: Window) -> Occasion | None:
    """The last window before another that is not excused."""
    earlier = (one for one in reversed(share.occasions) if one.opened < window.first)
    return next((one for one in earlier if not one.is_excused and not one.is_gone), None)


def _was(before: Occasion | None) -> str:
    if before is None:
        return "is in force from"
    if before.mark is None:
        return "was last to be done on"
    return "was last done on" if before.mark.verb == "did" else "was last skipped on"


def _good_days(
    shares: Sequence[Share],
    window: Window,
    neighbours: tuple[Occasion | None, Occasion | None],
    apart: int,
) -> Sequence[int]:
    """The last day before a window and the first after it on which all are there for it, as many
    days apart from its neighbours; the nearer first."""
    there = all_of(share.timeline.someone_there(window.routine) for share in shares)
    before, after = neighbours
    low = max(shares[0].on, before.last + apart if before is not None else 0)
    earlier = there.last(low, window.first - 1)
    later = there.first(window.last + 1, after.first - apart if after is not None else None)
    days = [day for day in (earlier, later) if day is not None]
    return sorted(days, key=lambda day: max(window.first - day, day - window.last))


def _can_move(household: Household, chore: Chore, window: Window, to: int) -> bool:
    """True if a line of today moves the window to a day, for all whose windows the chore has."""
    line = RecordReference(household.today, "moved", to, len(household.log.dates), ())
    return all(
        any(
            one.moved == line and (one.opened, one.first) == (window.first, to)
            for one in share.occasions
        )
        for share in shares_with(household, chore, line)
    )


def _finding(book: LintedBook, chore: Chore, gap: _Gap) -> Finding:
    line, log = chore.routines[gap.number], book.household.log
    source = line.place.source
    end = TextRange(source, len(source.lines) - 1, 0, 0)
    below = log.place(len(log.dates) - 1) if log.dates else end
    moved = add_line(below, below.source, f"{iso(book.today)} moved {chore.name} to {iso(gap.to)}")
    since = f"{gap.was} {dated(gap.since)}"
    if gap.next_day is None:
        why = f"it {since}, and does not come again"
    else:
        why = (
            f"it comes next on {dated(gap.next_day)}, and {since}: {gap.next_day - gap.since} days "
            f"lie between, and its period is {round(gap.period)}"
        )
    return RULE.finding(
        line.name_place,
        f'nobody is there to do "{chore.name}" on {days_from(gap.first, gap.last)}',
        why,
        f"{moved.words}, or one with another day on which someone is there",
        _absences(book.household, line, gap),
        [moved],
    )


def _absences(household: Household, line: Routine, gap: _Gap) -> tuple[TextRange, ...]:
    """The lines of the book that say that people of a line are not there on the days."""
    people = {*(line.assignment.people or household.people)}
    return tuple(
        one.place
        for one in household.absences
        if (not one.people or people & {*one.people})
        and not (line.vital and one.keyword == "rest")
        and days_absent(household, one).any(gap.first, gap.last)
    )

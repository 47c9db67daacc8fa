"""A day, or a span of days, whose chores need more minutes than its limits leave.

Why it matters: something will be left undone however the work is split. A window of several
days may be worked on any of them, so a span fails only when the windows that lie wholly
inside it do not fit its limits together (the demand criterion). Windows `after done` hang on
the record and are left out.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.lint.book import YEAR_AHEAD, Book, days_from, listed
from ledger.schedule.load import Demand, Overload, limit_of, overloads
from ledger.schedule.status import timelines
from ledger.schedule.week import MAX_DAY, weekday
from ledger.text.finding import Finding, Severity
from ledger.text.source import Place
from ledger.text.values import DAYS
from ledger.text.writer import duration

BAD = """\
area kitchen
limit weekday  30 min
^^^^^^^^^^^^^
every monday
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
limit weekday  45 min
every monday
    oven  40 min  in kitchen
"""


def check(book: Book) -> Iterator[Finding]:
    """A finding for each kind of span that does not fit, in the 366 days from today on."""
    household = book.household
    if not household.limits:
        return
    days = range(book.today, min(book.today + YEAR_AHEAD, MAX_DAY + 1))
    limits = [limit_of(household, day) for day in days]
    demands = list(_demands(book, days[-1]))
    kinds: dict[tuple[int, int], list[Overload]] = {}
    for overload in overloads(demands, limits, book.today):
        kind = overload.last - overload.first, weekday(overload.first)
        kinds.setdefault(kind, []).append(overload)
    for found in kinds.values():
        yield _finding(book, found, demands)


def _demands(book: Book, last: int) -> Iterator[Demand]:
    for chore in book.household.chores.values():
        for timeline in timelines(book.household, chore, book.today):
            for window in timeline.between(book.today, last):
                minutes = window.routine.minutes
                if minutes and not window.excused:
                    yield Demand(window.first, window.last, minutes, chore.name)


def _finding(book: Book, found: list[Overload], demands: list[Demand]) -> Finding:
    first = found[0]
    worst = max(found, key=lambda overload: overload.minutes - overload.limit)
    excess = worst.minutes - worst.limit
    span = days_from(first.first, first.last)
    verb = "asks" if first.first == first.last else "ask"
    message = f"{span} {verb} for {duration(first.minutes)}, of {duration(first.limit)}"
    if len(found) > 1:
        message += f"; {len(found) - 1} more like it in the year ahead"
    shares: dict[str, int] = {}
    for demand in demands:
        if worst.first <= demand.first and demand.last <= worst.last:
            shares[demand.label] = shares.get(demand.label, 0) + demand.minutes
    heaviest = sorted(shares, key=lambda name: -shares[name])
    parts = listed([f"{name} {shares[name]} min" for name in heaviest], 5)
    at_worst = "" if worst is first else f"at worst {days_from(worst.first, worst.last)}: "
    return Finding(
        "overloaded-day",
        Severity.WARNING,
        _place(book, first),
        message,
        f"{at_worst}{duration(excess)} will be left undone; the longest are {parts}",
        f"move {duration(excess)} to other days, or give one of its chores more days "
        "(`within 7 days`), or raise the limit",
    )


def _place(book: Book, overload: Overload) -> Place:
    """The limit of the first day of the span that has one."""
    household = book.household
    for day in range(overload.first, overload.last + 1):
        kind = "weekend" if weekday(day) in household.weekend else "weekday"
        for who in (DAYS[weekday(day)], kind):
            if who in household.limits:
                place = household.limits[who].place
                return place._replace(start=0)
    return next(iter(household.limits.values())).place

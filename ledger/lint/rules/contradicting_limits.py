"""A limit that another limit makes useless.

Why it matters: a person's limit above that of every day holds nobody back, and one for all
weekdays counts on no day when each of them has its own.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Limit
from ledger.lint.book import LintedBook
from ledger.text.edits import delete_line
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.values import DAYS
from ledger.text.words import duration

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
person edie
area kitchen
limit weekday 30 min
limit weekend 1 h
limit edie    2 h
^^^^^^^^^^

every monday
    oven  20 min  in kitchen
"""

GOOD = """\
person edie
area kitchen
limit weekday 30 min
limit weekend 1 h
limit edie    20 min

every monday
    oven  20 min  in kitchen
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each limit that never takes effect."""
    household = book.household
    limits = household.limits
    kinds = ["weekend" if day in household.weekend else "weekday" for day in range(7)]
    for kind in ("weekday", "weekend"):
        days = [DAYS[day] for day in range(7) if kinds[day] == kind]
        if kind in limits and all(day in limits for day in days):
            yield _unused(limits[kind], days)
    by_day = [limits.get(day) or limits.get(kind) for day, kind in zip(DAYS, kinds, strict=True)]
    known = [limit for limit in by_day if limit is not None]
    if len(known) < len(DAYS):
        return
    largest = max(known, key=lambda limit: limit.minutes)
    for person in household.people:
        if person in limits and limits[person].minutes > largest.minutes:
            yield _above(limits[person], largest)


def _unused(limit: Limit, days: list[str]) -> Finding:
    return RULE.finding(
        _whole(limit.place),
        f"the limit of {limit.who} counts on no day",
        f"{', '.join(days)} each have a limit of their own"
        if len(days) > 1
        else f"{days[0]} has a limit of its own",
        f"delete it, or the limit of a day that should have these {duration(limit.minutes)}",
        fixes=[delete_line(limit.place)],
    )


def _above(limit: Limit, largest: Limit) -> Finding:
    return RULE.finding(
        _whole(limit.place),
        f"{duration(limit.minutes)} for {limit.who} are more than any day holds",
        f"the largest limit of a day is {duration(largest.minutes)}, for {largest.who}, so a day "
        "is full before this limit is reached",
        f"write less than {duration(largest.minutes)}, or raise the limit of the days",
        (_whole(largest.place),),
    )


def _whole(place: TextRange) -> TextRange:
    """The range of a limit, from the first word of its line."""
    return place._replace(start=0)

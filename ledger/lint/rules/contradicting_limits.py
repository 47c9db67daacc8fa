"""A limit that another limit makes useless.

Why it matters: a person's limit above that of every day holds nobody back, and one for all
weekdays counts on no day when each of them has its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.household.model import Limit, LimitOf
from ledger.lint.book import LintedBook
from ledger.text.edits import delete_line
from ledger.text.finding import Finding, Kind, Severity
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
    for of, limit in book.household.limits.items():
        narrower = _of_days(book, of.person, of.kind, but=of.kind)
        if of.kind in (None, "weekday", "weekend") and all(narrower):
            yield _unused(book, limit, list(dict.fromkeys(filter(None, narrower))))
        elif of.person is not None:
            largest = _largest(book, of.kind)
            if largest is not None and limit.minutes > largest.minutes:
                yield _above(book, limit, largest)


def _of_days(
    book: LintedBook, person: str | None, kind: str | None, but: str | None = None
) -> Sequence[Limit | None]:
    """The limits of a person, or for None of the household, on the days of the week that a kind of
    day may be; without that of the kind `but`."""
    limits, weekend = book.household.limits, book.household.weekend
    parts = {name: "weekend" if day in weekend else "weekday" for day, name in enumerate(DAYS)}
    days = [day for day, part in parts.items() if kind in (day, part)] or DAYS
    return [
        next((limits[of] for of in kinds if of in limits and of.kind != but), None)
        for kinds in ((LimitOf(person, day), LimitOf(person, parts[day])) for day in days)
    ]


def _largest(book: LintedBook, kind: str | None) -> Limit | None:
    """The largest limit that the household has on days of a kind; None where some of them have no
    limit."""
    household = book.household
    of_days = _of_days(book, None, kind)
    named = [
        limit
        for of, limit in household.limits.items()
        if of.person is None and of.kind in household.named_days
    ]
    known = [limit for limit in of_days if limit is not None]
    if len(known) < len(of_days):
        return None
    return max([*known, *named], key=lambda limit: limit.minutes)


def _who(limit: Limit) -> str:
    return " ".join(filter(None, limit.of))


def _unused(book: LintedBook, limit: Limit, own: Sequence[Limit]) -> Finding:
    days = [other.of.kind or "" for other in own]
    return RULE.finding(
        book.limit_place(limit),
        f"the limit of {_who(limit)} counts on no day",
        f"{', '.join(days)} each have a limit of their own"
        if len(days) > 1
        else f"{days[0]} has a limit of its own",
        f"delete it, or the limit of a day that should have these {duration(limit.minutes)}",
        fixes=[delete_line(limit.place)],
    )


def _above(book: LintedBook, limit: Limit, largest: Limit) -> Finding:
    such = "such day" if limit.of.kind else "day"
    return RULE.finding(
        book.limit_place(limit),
        f"{duration(limit.minutes)} for {_who(limit)} are more than any {such} holds",
        f"the largest limit of a {such} is {duration(largest.minutes)}, for {_who(largest)}, so a "
        "day is full before this limit is reached",
        f"write less than {duration(largest.minutes)}, or raise the limit of the days",
        (book.limit_place(largest),),
    )

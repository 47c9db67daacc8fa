"""A line of the record dated after today.

Why it matters: a record says what was done; a date to come is a slip of the pen, and hides
that the chore is still to do.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from datetime import date

from ledger.lint.book import LintedBook, dated
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.words import more

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
every monday
    oven  40 min  in kitchen
2026-03-09 did oven
^^^^^^^^^^
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
2026-03-02 did oven
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding at the first line of the record after today, with how many more there are."""
    log = book.household.log
    first = bisect_right(log.dates, book.today)
    count = len(log.dates) - first
    if count:
        others = f"; {more(count - 1, 'line is', 'lines are')} too" if count > 1 else ""
        ahead = log.dates[first] - book.today
        days = "1 day" if ahead == 1 else f"{ahead} days"
        yield RULE.finding(
            log.place(first),
            f"{dated(log.dates[first])} is {days} after today{others}",
            "what has not been done yet would count as done from that day on",
            f"write the day on which it was done, {date.fromordinal(book.today)} at the latest",
        )

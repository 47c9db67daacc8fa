"""A day, or a span of days, whose chores need more minutes than its limits leave.

Why it matters: something will be left undone however the work is split. A window of several
days may be worked on any of them, so a span fails only when the windows that lie wholly
inside it do not fit its limits together (the demand criterion). Windows `after done` depend
on the record and are left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from ledger.calendar.week import weekday
from ledger.calendar.windows import Window
from ledger.lint.book import LintedBook
from ledger.lint.overload import overload_words
from ledger.planning.load import Demand, Overload, limit_of
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.values import DAYS

RULE = Kind.of(__name__, Severity.WARNING)

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


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each kind of span that does not fit, in the 366 days from today on."""
    household = book.household
    if not household.limits:
        return
    declared_limits = [(one.who, one.minutes) for one in household.limits.values()]
    limits = book.memory.once("limits", partial(_limits, book), declared_limits, book.calendar)
    demands = list(_demands(book))
    find_words = partial(overload_words, book, demands, limits)
    for words in book.memory.once(RULE.name, find_words, demands, limits, book.today):
        yield RULE.finding(
            _place(book, words.first),
            words.message,
            words.why,
            f"move {words.excess} to other days, or give one of its chores more days "
            "(`within 7 days`), or raise the limit",
        )


def _limits(book: LintedBook) -> list[int | None]:
    return [limit_of(book.household, day) for day in book.days_ahead]


def _demands(book: LintedBook) -> Iterator[Demand]:
    for name, shares in book.ahead.items():
        for share in shares:
            label = "demands", name, share.timeline.person
            yield from book.memory.once(
                label, partial(_of_windows, name, share.windows), share.windows
            )


def _of_windows(name: str, windows: Sequence[Window]) -> list[Demand]:
    return [
        Demand(window.first, window.last, window.routine.minutes, name)
        for window in windows
        if window.routine.minutes and not window.excused
    ]


def _place(book: LintedBook, overload: Overload) -> TextRange:
    """The range of the limit of the first day of the span that has one."""
    household = book.household
    for day in range(overload.first, overload.last + 1):
        kind = "weekend" if weekday(day) in household.weekend else "weekday"
        for who in (DAYS[weekday(day)], kind):
            if who in household.limits:
                place = household.limits[who].place
                return place._replace(start=0)
    return next(iter(household.limits.values())).place

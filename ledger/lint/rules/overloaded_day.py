"""A day, or a span of days, whose chores need more minutes than its limits leave.

Why it matters: something will be left undone however the work is split. A window of several
days may be worked on any of them, so a span fails only when the windows that lie wholly
inside it do not fit its limits together (the demand criterion). Where everyone who is there has a
limit, a day holds no more than theirs together. Work is counted as `besom ahead` counts it, by the
record: what is done or skipped is gone, what is moved stands on its new day, and a chore
`after done` is taken as done on its first day each time. What is `spare` is left out, and so is
what is late and not `vital`: it can wait. An absence without an end is believed for 28 days in this
rule only: later days of it are not judged before they come near.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from ledger.calendar.occurrences import longest, period_days
from ledger.calendar.week import weekday
from ledger.household.model import Limit, LimitOf
from ledger.lint.book import LintedBook
from ledger.lint.overload import limit_in, of_household, of_people, told, worst_words
from ledger.planning.load import Overload
from ledger.text.finding import Finding, Kind, Severity

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

WEEK = 7


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each kind of span that does not fit, in the year from today on, by the worst
    of its kind.

    Spans are of one kind if they have one limit, are equally long and begin on one weekday, so that
    a change which fills another weekday is told of as new. A span that asks too much of one person,
    and of nobody else, is a finding of another rule.
    """
    if not book.household.limits:
        return
    found = of_household(book)
    of_one = {span for theirs in of_people(book).values() for span in theirs.spans}
    kinds: dict[tuple[LimitOf, int, int], tuple[Limit, list[Overload]]] = {}
    for span in told(book, found):
        if span not in of_one:
            # Without a limit of the household, those of people count.
            limit = limit_in(book, span, None, *book.household.people)
            kind = limit.of, span.last - span.first, weekday(span.first)
            kinds.setdefault(kind, (limit, []))[1].append(span)
    for kind, (limit, spans) in kinds.items():
        find_words = partial(worst_words, spans, found.demands, None)
        words = book.memory.once((RULE.name, kind), find_words, spans, found.demands)
        yield RULE.finding(
            book.limit_place(limit),
            words.message,
            words.why,
            f"move {words.excess} to other days, or give one of its chores more days"
            f"{_within(book, words.worst)}, or raise the limit",
        )


def _within(book: LintedBook, span: Overload) -> str:
    """What gives a chore of a span more days, where one of them comes once a week or less and has
    fewer days than a week."""
    weekend = len(book.household.weekend)
    chores = map(book.household.chores.__getitem__, span.chores)
    sections = [line.section for chore in chores for line in chore.routines]
    for section in sections:
        days, period = (
            longest(section.cadence, section.within),
            period_days(section.cadence, weekend),
        )
        if days < WEEK <= period:
            return f" (`within {WEEK} days`)"
    return ""

"""A day, or a span of days, whose chores need more minutes than its limits leave.

Why it matters: something will be left undone however the work is split. A window of several
days may be worked on any of them, so a span fails only when the windows that lie wholly
inside it do not fit its limits together (the demand criterion). Where everyone who is there has a
limit, a day holds no more than theirs together. Windows `after done` depend on the record and are
left out, and so is what is `spare`.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from ledger.calendar.occurrences import longest, period_days
from ledger.lint.book import LintedBook
from ledger.lint.overload import limit_in, of_household, of_people, overload_words
from ledger.planning.load import Overload
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange

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
    """A finding for each kind of span that does not fit, in the 366 days from today on.

    A span that asks too much of one person, and of nobody else, is a finding of another rule.
    """
    if not book.household.limits:
        return
    found = of_household(book)
    of_one = {span for theirs in of_people(book).values() for span in theirs.spans}
    found = found._replace(spans=[span for span in found.spans if span not in of_one])
    for words in book.memory.once(RULE.name, partial(overload_words, found), *found):
        yield RULE.finding(
            _place(book, words.first),
            words.message,
            words.why,
            f"move {words.excess} to other days, or give one of its chores more days"
            f"{_within(book, words.first)}, or raise the limit",
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


def _place(book: LintedBook, span: Overload) -> TextRange:
    """The range of the limit of the first day of the span that has one; without any, of a person's
    that counts then."""
    return book.limit_place(limit_in(book, span, None, *book.household.people))

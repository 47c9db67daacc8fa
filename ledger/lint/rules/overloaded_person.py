"""A person whose own chores need more minutes in a day than is fair to ask of them.

Why it matters: what nobody else may take over stays undone, or is done late and tired. Only
what is surely theirs counts: `by` one person, their share of `each` or `and`, their turns of
`then`; spans of several days are judged by their limits together, and work is counted by the
record, as for a household. An absence without an end is believed for 28 days: later days of it are
not judged before they come near.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from ledger.lint.book import LintedBook
from ledger.lint.overload import OverloadWords, limit_in, of_people, told, worst_words
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.words import duration

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
person noor
person edie
area kitchen
limit edie 15 min
^^^^^^^^^^

every monday
    oven  40 min  in kitchen  by edie
    sink   5 min  in kitchen  by noor
"""

GOOD = """\
person noor
person edie
area kitchen
limit edie 15 min

every monday
    oven  40 min  in kitchen  by noor or edie
    sink   5 min  in kitchen  by noor
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each person with a limit that some span does not fit, by the worst span."""
    for person, found in of_people(book).items():
        spans = told(book, found)
        if spans:
            find_words = partial(worst_words, spans, found.demands, person)
            words = book.memory.once((RULE.name, person), find_words, spans, found.demands)
            limit = limit_in(book, words.worst, person)
            yield RULE.finding(
                book.limit_place(limit),
                words.message,
                words.why,
                f"{_less(book, words)}, or raise the limit of {duration(limit.minutes)}",
            )


def _less(book: LintedBook, words: OverloadWords) -> str:
    """How a person may have less to do in a span: not by what its chores say already."""
    chores = map(book.household.chores.__getitem__, words.worst.chores)
    forms = {line.assignment.form for chore in chores for line in chore.routines}
    if forms <= {"each"}:
        return f"move {words.excess} to other days"
    ways = "`or` or `then`" if "any" in forms else "`or`"
    return f"give {words.excess} of it to others with {ways}, or move it to other days"

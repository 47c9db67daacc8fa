"""A chore that has been paused for more than a year, as far as the record can tell.

Why it matters: a pause is meant to end. What nobody has missed for a year makes the book
longer to read, and its people and things look as if they still counted.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.lint.book import YEAR_AHEAD, LintedBook, dated
from ledger.text.edits import delete, word_place
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.words import listed

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
since 2024-01-01
area kitchen

every monday
    oven  40 min  in kitchen  paused
    ^^^^
    sink  5 min  in kitchen
2024-01-15 did oven
2026-03-02 did sink
"""

GOOD = """\
since 2024-01-01
area kitchen

every monday
    sink  5 min  in kitchen

2026-03-02 did sink
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such section, and for each such chore in a section that is not paused."""
    dates = book.household.log.dates
    begun = min(book.start, dates[0]) if dates else book.start
    if book.today - begun < YEAR_AHEAD:
        return
    for section, lines in book.sections.items():
        if not section.paused:
            for name, routine in lines:
                if routine.paused:
                    yield from _findings(book, [name], routine.name_place, begun)
        elif not section.lacks_from:
            yield from _findings(book, [name for name, _ in lines], section.place, begun)


def _findings(
    book: LintedBook, names: list[str], place: TextRange, begun: int
) -> Iterator[Finding]:
    chores, log = book.household.chores, book.household.log
    # A chore that goes on under another header has record lines of that one.
    if any(book.lasts(line) for name in names for line in chores[name].routines):
        return
    last = max(
        (log.dates[log.by_chore[name][-1]] for name in names if name in log.by_chore), default=None
    )
    days = book.today - (begun if last is None else last)
    if days < YEAR_AHEAD:
        return
    since = f"since {dated(last)}" if last is not None else f"since {dated(begun)}, where it begins"
    is_one = len(names) == 1
    words = listed([f'"{name}"' for name in names])
    removal = delete(word_place(place, "PAUSED"), "Take `paused` away")
    yield RULE.finding(
        place,
        f"{words} {'is' if is_one else 'are'} paused, with no line in the record {since}",
        f"in {days} days nobody has taken {'it' if is_one else 'them'} up again",
        f"delete {'the line' if is_one else 'the section'}, or {removal.words}",
        fixes=[removal],
    )

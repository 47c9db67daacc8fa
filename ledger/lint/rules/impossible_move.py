"""A chore that the record moves to a day on which it cannot be.

Why it matters: a window cannot be moved onto or past another of its chore, nor to a day that is
over. Such a line moves nothing: the chore stays due when it was. Lines of the last 366 days are
looked at.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import cache, partial

from ledger.calendar.windows import Timeline
from ledger.household.model import Chore
from ledger.keeping.matching import MatchedWindow, matched_around
from ledger.keeping.status import timelines
from ledger.lint.book import YEAR_AHEAD, LintedBook, dated, days_from
from ledger.text.edits import delete_line
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.tree import Day

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

every monday
    oven  40 min  in kitchen
2026-03-02 moved oven to 2026-03-09
                         ^^^^^^^^^^
"""

GOOD = """\
area kitchen

every monday
    oven  40 min  in kitchen

2026-03-02 moved oven to 2026-03-05
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such line, at the day it names."""
    log = book.household.log
    low, high = book.today - YEAR_AHEAD, book.today
    for name, days in log.moves.items():
        if bisect_left(days, low) < bisect_right(days, high):
            chore = book.household.chores[name]
            found = book.memory.once(
                (RULE.name, name),
                partial(_of_chore, book, chore, low, high),
                log.story(name),
                chore,
                book.calendar,
            )
            for number, to, why in found:
                yield _finding(book, name, log.by_chore[name][number], to, why)


def _of_chore(book: LintedBook, chore: Chore, low: int, high: int) -> list[tuple[int, Day, str]]:
    positions = book.household.log.by_chore[chore.name]
    found = _found(book, chore, low, high)
    return [(bisect_left(positions, index), to, why) for index, to, why in found]


def _found(book: LintedBook, chore: Chore, low: int, high: int) -> Iterator[tuple[int, Day, str]]:
    """The lines of such moves, each with the day that it names and why it cannot be moved there."""
    log = book.household.log
    positions = log.by_chore[chore.name]
    start = bisect_left(positions, low, key=log.dates.__getitem__)
    end = bisect_right(positions, high, key=log.dates.__getitem__)
    moves = [index for index in positions[start:end] if log.entries[index].to]
    shares = list(timelines(book.household, chore))
    refused = _refused(book, shares, log.dates[moves[0]])
    around = cache(lambda day: matched_around(shares[0], log, day, day, day)[0])
    for index in moves:
        to, day = log.entries[index].to, log.dates[index]
        if to is not None and to.value < day:
            yield index, to, f"the line is of {dated(day)}, when that day was over"
        elif to and index in refused and shares[0].after_done(day) is None and around(day):
            yield index, to, _reason(shares[0], around(day), day, to.value)


def _refused(book: LintedBook, shares: list[Timeline], low: int) -> set[int]:
    """The lines from a day on that neither settle nor move a window of the chore, for anybody."""
    log = book.household.log
    extras = (matched_around(share, log, low, book.today, book.today)[1] for share in shares)
    return set.intersection(*({mark.line for mark in marks} for marks in extras))


def _reason(timeline: Timeline, around: Sequence[MatchedWindow], day: int, to: int) -> str:
    """Why a move to a day changes nothing, by the windows around the day of its line."""
    latest = around[-1].window.first
    windows_near = [(one.first, one.last) for one in around]
    # Later windows are those of the calendar: no record line reaches beyond `around`.
    windows_near += (window[:2] for window in timeline.at_home(to, to) if window.first > latest)
    for first, last in windows_near:
        if first <= to <= last:
            return f"{days_from(first, last)} has it already; the line moves nothing"
    for first, last in windows_near:
        if day < first and last <= to:
            return f"{days_from(first, last)} comes first; the line moves nothing"
    return f"about {dated(day)} it was due on no day that stood open; the line moves nothing"


def _finding(book: LintedBook, name: str, index: int, to: Day, why: str) -> Finding:
    log = book.household.log
    place = to.at(log.sources[log.files[index]], log.lines[index])
    return RULE.finding(
        place,
        f'"{name}" cannot be moved to {dated(to.value)}',
        why,
        "write a day before it comes round again, or delete the line",
        fixes=[delete_line(place)],
    )

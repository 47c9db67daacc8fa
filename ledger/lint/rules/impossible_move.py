"""A chore that the record moves to a day on which it cannot be.

Why it matters: a window cannot be moved onto or past another of its chore. Such a line moves
nothing: the chore stays due when it was. And a day that was over when the line was written is a
slip. Lines of the last 366 days are looked at.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from functools import partial
from itertools import islice
from typing import NamedTuple

from ledger.household.model import Chore, Household
from ledger.keeping.history import shares_of
from ledger.keeping.record_lines import lines_of
from ledger.lint.book import YEAR_AHEAD, LintedBook, dated, days_from, iso
from ledger.text.edits import delete_line, write
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.parts import Day

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
            for number, refusal in found:
                yield _finding(book, name, log.by_chore[name][number], refusal)


class _Refusal(NamedTuple):
    """What stands against a move."""

    to: Day
    """The day that its line names."""
    why: str
    latest: int | None = None
    """The last day to which the line could move its chore; None where there is none."""


def _of_chore(book: LintedBook, chore: Chore, low: int, high: int) -> list[tuple[int, _Refusal]]:
    positions = book.household.log.by_chore[chore.name]
    found = _found(book, chore, low, high)
    return [(bisect_left(positions, index), refusal) for index, refusal in found]


def _found(book: LintedBook, chore: Chore, low: int, high: int) -> Iterator[tuple[int, _Refusal]]:
    """The lines of such moves, each with what stands against it."""
    log = book.household.log
    moves = [line for line in lines_of(log, chore.name, low, high) if line.to is not None]
    refused = _refused(book.household, chore, moves[0].day, book.today)
    for line in moves:
        to = log.entries[line.line].to
        if to is not None and to.value < line.day:
            why = f"the line is of {dated(line.day)}, when that day was over"
            yield line.line, _Refusal(to, why)
        elif to is not None and line.line in refused:
            yield line.line, _refusal(book.household, chore, line.day, to)


def _refused(household: Household, chore: Chore, low: int, on: int) -> set[int]:
    """The lines from a day on that found no window of anybody whom they are for."""
    # Of an `after done` chore, only one that is over or paused refuses a line.
    if chore.is_after_done or all(line.paused for line in chore.routines):
        return set()
    shares = shares_of(household, chore, low, on)
    extras = {line.line for share in shares for line in share.extras}
    # A line may move the window of one person, and find none of another.
    moves = (one.moved for share in shares for one in share.occasions)
    return extras - {line.line for line in moves if line is not None}


def _refusal(household: Household, chore: Chore, day: int, target: Day) -> _Refusal:
    """Why a move to a day changes nothing, by the windows around the day of its line."""
    to = target.value
    share = shares_of(household, chore, day, day)[0]
    known = [one for one in share.occasions if not one.is_excused and not one.is_gone]
    windows = [(one.first, one.last) for one in known]
    latest = max((one.opened for one in known), default=0)
    # Of all that come later, only the first and the one that holds the day can be the reason.
    later = *islice(share.timeline.coming(latest), 1), *share.timeline.asked_between(to, to)
    windows += (window[:2] for window in later if window.first > latest)
    begun = [one for one in known if one.first <= day]
    # Where what had begun is settled, the line moves what comes next.
    is_settled = not begun or max(begun, key=lambda one: one.first).mark is not None
    firsts = {first for first, _ in windows}
    firsts |= {window.first for window in islice(share.timeline.coming(latest), 2)}
    coming = sorted(first for first in firsts if first > day)[is_settled:]
    last_day = coming[0] - 1 if coming and coming[0] <= to else None
    for first, last in windows:
        if first <= to <= last:
            why = f"{days_from(first, last)} has it already; the line moves nothing"
            return _Refusal(target, why, last_day)
    for first, last in windows:
        if day < first and last <= to:
            why = f"{days_from(first, last)} comes first; the line moves nothing"
            return _Refusal(target, why, last_day)
    why = f"about {dated(day)} it was due on no day that stood open; the line moves nothing"
    return _Refusal(target, why)


def _finding(book: LintedBook, name: str, index: int, refusal: _Refusal) -> Finding:
    log, (to, why, latest) = book.household.log, refusal
    place = to.at(log.sources[log.files[index]], log.lines[index])
    fixes = [delete_line(place)]
    fix = "delete the line"
    if latest is not None:
        fixes.insert(0, write(place, iso(latest)))
        fix = f"{fixes[0].words}, the last day that will do, or an earlier one, or {fix}"
    message = f'"{name}" cannot be moved to {dated(to.value)}'
    return RULE.finding(place, message, why, fix, fixes=fixes)

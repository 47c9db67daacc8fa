"""A line that says some of a chore was `worked`, when that time of it was settled already.

Why it matters: work counts until a chore is done. Minutes that come after it are in nothing that is
learned of the chore, and take nothing off the next time. Lines of the last 366 days are looked at.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from functools import partial
from typing import NamedTuple

from ledger.calendar.day_lists import dates_of
from ledger.household.model import Chore
from ledger.household.record import Log
from ledger.keeping.history import Share, shares_of, without_window
from ledger.keeping.occasion import Occasion
from ledger.keeping.record_lines import RecordReference, lines_of
from ledger.lint.book import YEAR_AHEAD, LintedBook, dated, days_from, iso
from ledger.text.edits import over, without_line
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.words import duration, more

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area garage

every week
    shelves  60 min  in garage

2026-03-02 did shelves 40 min
2026-03-03 worked shelves 20 min
^^^^^^^^^^
"""

GOOD = """\
area garage

every week
    shelves  60 min  in garage

2026-03-02 worked shelves 40 min
2026-03-03 did shelves 20 min
"""


class _Late(NamedTuple):
    """A line of work that came too late, by its number among the lines of its chore."""

    number: int
    settled_by: int
    """The number of the line that had settled the window."""
    first: int
    last: int
    """The days of that window."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each chore with such lines, at the first, with how many more there are."""
    log = book.household.log
    for name in sorted(log.worked & book.household.chores.keys()):
        chore = book.household.chores[name]
        late = book.memory.once(
            (RULE.name, name), partial(_late, book, chore), log.story(name), chore, book.calendar
        )
        if late:
            yield _finding(log, name, late)


def _late(book: LintedBook, chore: Chore) -> list[_Late]:
    household, low = book.household, book.today - YEAR_AHEAD
    lines = lines_of(household.log, chore.name, low, book.today)
    worked = [line for line in lines if line.verb == "worked"]
    if not worked:
        return []
    shares = shares_of(household, chore, worked[0].day, book.today)
    lost, positions = without_window(shares), household.log.by_chore[chore.name]
    dates = [dates_of(household, routine) for routine in chore.routines]
    found = []
    for line in worked:
        # What is not in force is a finding of another rule.
        is_in_dates = any(first <= line.day <= last for first, last in dates)
        settled = _settled(shares, line) if line.line in lost and is_in_dates else None
        if settled is not None and settled.mark is not None:
            number, by = (bisect_left(positions, one.line) for one in (line, settled.mark))
            found.append(_Late(number, by, settled.first, settled.last))
    return found


def _settled(shares: Sequence[Share], line: RecordReference) -> Occasion | None:
    """The window of somebody's that a line is for and that an earlier line has settled: that of
    its day, else the next one, else the last there is."""
    share = next(one for one in shares if line in one.extras)
    windows = [one for one in share.occasions if not one.is_gone]
    meant = next((one for one in windows if one.last >= line.day), windows[-1] if windows else None)
    if meant is None or meant.mark is None or meant.mark.line > line.line:
        return None
    return meant


def _finding(log: Log, name: str, late: Sequence[_Late]) -> Finding:
    first, positions = late[0], log.by_chore[name]
    index, by = positions[first.number], positions[first.settled_by]
    minutes, day = sum(log.minutes(index, name)), log.dates[by]
    others = f"; {more(len(late) - 1, 'line is', 'lines are')} so too" if len(late) > 1 else ""
    is_done = log.entries[by].verb == "did"
    joined = _joined(log, name, index, by) if is_done else None
    if joined is not None:
        fix = f"mend its date, or {joined.words}"
    elif is_done:
        fix = f"mend its date, or take it out and add its minutes to the line of {iso(day)}"
    else:
        fix = f"mend its date, or delete the line of {iso(day)}, which skips it"
    return RULE.finding(
        log.place(index),
        f'"{name}" was {"done" if is_done else "skipped"} when {duration(minutes)} were worked on '
        f"it on {dated(log.dates[index])}{others}",
        f"{days_from(first.first, first.last)} was settled on {dated(day)}; minutes worked after "
        "that are in nothing that is learned of it, and take nothing off the next time",
        fix,
        (log.place(by),),
        [joined] if joined is not None else (),
    )


def _joined(log: Log, name: str, index: int, by: int) -> Fix | None:
    """The fix that gives the minutes of a line to another of the same people, and deletes it; None
    where that loses something."""
    worked, done = log.entries[index], log.entries[by]
    timed = [item.minutes for item in done.items if item.name.value == name and item.minutes]
    is_all = len(worked.items) == 1 and worked.note is None and worked.comment is None
    if not (
        timed and is_all and worked.people == done.people and log.files[index] == log.files[by]
    ):
        return None
    source = log.sources[log.files[by]]
    place = timed[0].at(source, log.lines[by])
    words = duration(timed[0].value + sum(log.minutes(index, name)))
    edits = sorted((over(place, words), without_line(log.place(index))))
    return Fix(
        f"Write `{words}` in the line of {iso(log.dates[by])} and delete this one", (*edits,)
    )

"""A chore that takes longer or shorter than its minutes say, by the record.

Why it matters: the day's total counts the declared minutes, and is wrong by the difference each
time. Learned minutes are the median of the last nine timed lines, once there are five; they
have drifted when they differ by more than a quarter and by more than two minutes.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Routine
from ledger.keeping.minutes import Learned, differs
from ledger.lint.book import LintedBook
from ledger.text.edits import write
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.parts import Located
from ledger.text.words import duration

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
area kitchen

every day
    hob  10 min  in kitchen
         ^^^^^^
2026-02-26 did hob 15 min
2026-02-27 did hob 16 min
2026-02-28 did hob 15 min
2026-03-01 did hob 14 min
2026-03-02 did hob 15 min
"""

GOOD = """\
area kitchen

every day
    hob  15 min  in kitchen

2026-02-26 did hob 15 min
2026-02-27 did hob 16 min
2026-02-28 did hob 15 min
2026-03-01 did hob 14 min
2026-03-02 did hob 15 min
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each chore line in force whose minutes have drifted."""
    for name in book.household.log.by_chore:
        lines = [
            line for line in book.household.chores[name].routines if book.holds(line, book.today)
        ]
        learned = book.learned(name) if lines else None
        for line in lines:
            declared = book.line_of(line).minutes
            if learned is not None and declared and differs(declared.value, learned.minutes):
                yield _finding(name, line, declared, learned)


def _finding(name: str, line: Routine, declared: Located[int], learned: Learned) -> Finding:
    minutes = max(1, round(learned.minutes))
    gap = abs(minutes - declared.value)
    side = "too low" if minutes > declared.value else "too high"
    place = declared.at(line.place.source, line.place.line)
    mended = write(place, duration(minutes))
    return RULE.finding(
        place,
        f'"{name}" is {duration(declared.value)} here, and lately takes {duration(minutes)}',
        f"that is the median of its last {learned.lines} timed lines; the total of its days is "
        f"{duration(gap)} {side}",
        mended.words,
        fixes=[mended],
    )

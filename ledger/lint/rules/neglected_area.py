"""An area in which nothing has been done for more than three of its own periods.

Why it matters: one late chore is a late chore; when all that is done in a part of the home is
long past, that part has dropped out of the routine, and no single list says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil

from ledger.calendar.occurrences import period_days
from ledger.calendar.presence import asked, there
from ledger.household.model import Named, Routine
from ledger.keeping.neglect import MOST_PERIODS
from ledger.keeping.record_lines import last_done
from ledger.lint.book import LintedBook, dated, iso
from ledger.text.cadences import write_cadence
from ledger.text.finding import Finding, Kind, Severity

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
since 2026-01-01
area kitchen
area bathroom
     ^^^^^^^^

every monday
    sink  5 min  in kitchen
    bath  20 min  in bathroom
2026-01-12 did bath
2026-03-02 did sink
"""

GOOD = """\
since 2026-01-01
area kitchen
area bathroom

every monday
    sink   5 min  in kitchen
    bath  20 min  in bathroom

2026-01-12 did bath
2026-03-02 did sink, bath
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such area; none while the household is away or rests."""
    log = book.household.log
    done = {name: last_done(log, name, book.today) for name in log.by_chore}
    days_done = {name: line.day for name, line in done.items() if line is not None}
    if not there(book.household, None).holds(book.today) or not days_done:
        return
    lines: dict[str, list[tuple[str, Routine]]] = {}
    for name, chore in book.household.chores.items():
        for routine in chore.routines:
            for area in routine.areas:
                lines.setdefault(area, []).append((name, routine))
    for name, chore_lines in lines.items():
        last = max(days_done.get(chore, 0) for chore, _ in chore_lines)
        neglected = _most_neglected(book, chore_lines, last)
        if neglected is not None:
            yield _finding(book, book.household.areas[name], last, *neglected)


def _most_neglected(
    book: LintedBook, lines: list[tuple[str, Routine]], last: int
) -> tuple[str, Routine, int] | None:
    """The chore with the shortest period that has gone by too often, with its line and the days
    since on which it was asked; None where there is none."""
    weekend = len(book.household.weekend)
    candidates: list[tuple[float, str, Routine, int]] = []
    for name, routine in lines:
        cadence = routine.section.cadence
        # Nobody can say how often these should have come round by now.
        if cadence.is_after_done or cadence.is_once or routine.spare:
            continue
        if not book.holds(routine, book.today):
            continue
        period, days = period_days(cadence, weekend), asked(book.household, routine, None)
        # What was not asked of late is out of its season.
        is_on = days.last(book.today - ceil(period) + 1, book.today) is not None
        count = days.count(max(last + 1, book.start), book.today)
        if is_on and count > MOST_PERIODS * period:
            candidates.append((period, name, routine, count))
    return min(candidates, key=lambda candidate: candidate[0])[1:] if candidates else None


def _finding(
    book: LintedBook, area: Named, last: int, chore: str, routine: Routine, days: int
) -> Finding:
    done = f"since {dated(last)}" if last else f"since the book began, on {dated(book.start)}"
    return RULE.finding(
        area.place,
        f'nothing has been done in "{area.name}" {done}',
        f'"{chore}" there comes round `{write_cadence(routine.section.cadence)}`; since then '
        f"{days} days at home have gone by, more than {MOST_PERIODS} times that long",
        f"do it and write `{iso(book.today)} did {chore}`, or write `paused` at what is given up",
    )

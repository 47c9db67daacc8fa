"""An area in which nothing has been done for more than three of its own periods.

Why it matters: one late chore is a late chore; when all that is done in a part of the home is
long past, that part has dropped out of the routine, and no single list says so.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.calendar.absence import away_spans, days_away, is_away
from ledger.calendar.occurrences import period_days
from ledger.calendar.week import in_season, season_last
from ledger.household.model import Named, Routine
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

PERIODS = 3


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such area; none while the household is away."""
    last_done = {name: _last_done(book, name) for name in book.household.log.by_chore}
    if is_away(book.today, away_spans(book.household)) or not any(last_done.values()):
        return
    lines: dict[str, list[tuple[str, Routine]]] = {}
    for name, chore in book.household.chores.items():
        for routine in chore.routines:
            for area in routine.areas:
                lines.setdefault(area, []).append((name, routine))
    for name, chore_lines in lines.items():
        last = max(last_done.get(chore) or 0 for chore, _ in chore_lines)
        neglected = _most_neglected(book, chore_lines, last)
        if neglected is not None:
            yield _finding(book, book.household.areas[name], last, *neglected)


def _last_done(book: LintedBook, chore: str) -> int | None:
    """The day on which a chore was last done, up to today."""
    log = book.household.log
    return next(
        (
            log.dates[index]
            for index in reversed(log.by_chore[chore])
            if log.dates[index] <= book.today and log.entries[index].verb == "did"
        ),
        None,
    )


def _most_neglected(
    book: LintedBook, lines: list[tuple[str, Routine]], last: int
) -> tuple[str, Routine, int] | None:
    """The chore with the shortest period that has gone by too often, with its line and the days
    since; None where there is none."""
    weekend = len(book.household.weekend)
    candidates: list[tuple[float, str, Routine, int]] = []
    for name, routine in lines:
        cadence = routine.section.cadence
        # Nobody can say how often these should have come round by now.
        if cadence.is_after_done or cadence.is_once or not book.holds(routine, book.today):
            continue
        period = period_days(cadence, weekend)
        since = max(last, book.start - 1, (routine.first or 0) - 1)
        days = book.today - since - days_away(book.household, since + 1, book.today)
        if days > PERIODS * period and _was_in_season(routine, since + 1, book.today):
            candidates.append((period, name, routine, days))
    return min(candidates, key=lambda candidate: candidate[0])[1:] if candidates else None


def _was_in_season(routine: Routine, first: int, last: int) -> bool:
    """True where all of these days are in the line's season, or it has none."""
    season = routine.section.during
    return first > last or (in_season(first, season) and season_last(first, season) >= last)


def _finding(
    book: LintedBook, area: Named, last: int, chore: str, routine: Routine, days: int
) -> Finding:
    done = f"since {dated(last)}" if last else f"since the book began, on {dated(book.start)}"
    return RULE.finding(
        area.place,
        f'nothing has been done in "{area.name}" {done}',
        f'"{chore}" there comes round `{write_cadence(routine.section.cadence)}`; since then '
        f"{days} days at home have gone by, more than {PERIODS} times that long",
        f"do it and write `{iso(book.today)} did {chore}`, or write `paused` at what is given up",
    )

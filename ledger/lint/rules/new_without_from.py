"""A chore that says no `from` and was never done, in a book that has long been kept.

Why it matters: without a date it is taken to be as old as the book, so it counts as missed
for all the time before it was thought of.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.calendar.occurrences import period_days
from ledger.household.model import Chore, Section
from ledger.lint.book import LintedBook, dated, iso
from ledger.text.edits import write_clause
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.words import counted, more

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
since 2026-01-01
area kitchen

every monday
    sink  5 min  in kitchen
    oven  40 min  in kitchen
    ^^^^
2026-01-12 did sink
2026-03-02 did sink
"""

GOOD = """\
since 2026-01-01
area kitchen

every monday
    sink   5 min  in kitchen
    oven  40 min  in kitchen  from 2026-03-02

2026-01-12 did sink
2026-03-02 did sink
"""

PERIODS = 3


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each section with such chores, at the first of them."""
    household = book.household
    log = household.log
    if not log.dates or log.dates[0] > book.today:
        return
    # An area that the record says nothing about is a finding of its own.
    recorded_areas = {
        area
        for name in log.by_chore
        for routine in household.chores[name].routines
        for area in routine.areas
    }
    by_section: dict[Section, list[tuple[Chore, int]]] = {}
    for chore in household.chores.values():
        missed = 0 if chore.name in log.by_chore else _missed(book, chore)
        areas = {area for routine in chore.routines for area in routine.areas}
        if missed and (not areas or not areas.isdisjoint(recorded_areas)):
            by_section.setdefault(chore.routines[0].section, []).append((chore, missed))
    for chores in by_section.values():
        yield _finding(book, chores)


def _missed(book: LintedBook, chore: Chore) -> int:
    """How many windows of a chore went by while the record was kept; 0 where it may not be new."""
    routines = chore.routines
    if any(line.first is not None or not book.lasts(line) for line in routines):
        return 0
    timeline = book.ahead[chore.name][0].timeline
    first = next(timeline.coming(timeline.first_day(book.today) - 1), None)
    if first is None or any(line.section.cadence.is_once for line in routines):
        return 0
    dates = book.household.log.dates
    weekend = len(book.household.weekend)
    period = min(period_days(line.section.cadence, weekend) for line in routines)
    kept_from, kept_to = max(first.last, dates[0]), min(dates[-1], book.today)
    if kept_to - kept_from <= PERIODS * period:
        return 0
    # A window that is open today may still be done, and a spare one is never missed.
    return book.memory.once(
        ("windows gone by", chore.name),
        lambda: sum(
            one.last < book.today and not one.routine.spare
            for one in timeline.asked_between(kept_from, kept_to)
        ),
        *(chore, book.calendar, kept_from, kept_to),
    )


def _finding(book: LintedBook, chores: list[tuple[Chore, int]]) -> Finding:
    chore, missed = chores[0]
    others = ""
    if len(chores) > 1:
        others = f", and {more(len(chores) - 1, 'chore', 'chores')} of its section"
    was, them = ("was", "it is") if len(chores) == 1 else ("were", "they are")
    place = chore.routines[0].name_place
    new = write_clause(place.source, place.line, f"from {iso(book.today)}")
    paused = write_clause(place.source, place.line, "paused")
    return RULE.finding(
        place,
        f'"{chore.name}"{others} {was} never done and {"has" if len(chores) == 1 else "have"} '
        "no `from`",
        f"taken to be as old as the record, which begins on "
        f'{dated(book.household.log.dates[0])}, "{chore.name}" counts as missed '
        f"{counted(missed, 'time', 'times')}",
        f"if {them} new, {new.words}; if not, do it, or {paused.words}",
        fixes=[new, paused],
    )

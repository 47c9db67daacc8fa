"""A section of several times a period, or a line in it, that loses a part of each period.

Why it matters: of `3 times every week` the week has three parts, and the chore comes once in each.
A part of which `during` and `except` leave no day brings nothing, so the chore comes fewer times
than its header says.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from ledger.calendar.day_lists import kept_days
from ledger.calendar.day_set import ALL, DaySet
from ledger.calendar.lines import rhythm_of
from ledger.calendar.occurrences import cadence_spans, period_at, periods
from ledger.calendar.week import MAX_DAY
from ledger.household.model import Routine, Span
from ledger.lint.book import YEAR_AHEAD, LintedBook, days_from, header_alone
from ledger.lint.falling import written_lists
from ledger.text.cadences import write_cadence
from ledger.text.edits import write
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.parts import DayItem
from ledger.text.source import TextRange
from ledger.text.words import listed

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

3 times every week except monday, tuesday, wednesday
^^^^^^^^^^^^^^^^^^
    hob  5 min  in kitchen
"""

GOOD = """\
area kitchen

2 times every week except monday, tuesday, wednesday
    hob  5 min  in kitchen
"""


class Period(NamedTuple):
    """A period with the days of its parts; the lost ones have no day on which they may be asked."""

    days: Span
    parts: Sequence[Span]
    lost: Sequence[Span]


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each header with such a part, else for each line below it with one."""
    for section, lines in book.sections.items():
        lasting = [pair for pair in lines if book.lasts(pair[1])]
        if section.cadence.times == 1 or not lasting:
            continue
        header = header_alone(section, lines[0][1])
        period = _with_lost(book, header)
        if period is not None:
            names = listed([name for name, _ in lasting])
            yield _finding(book, header, names, section.place, period)
            continue
        for name, line in lasting:
            if line.falls != header.falls:
                period = _with_lost(book, line)
                if period is not None:
                    yield _finding(book, line, name, line.name_place, period)


def _with_lost(book: LintedBook, line: Routine) -> Period | None:
    """Of the periods of the year ahead with a day left, the first that lost the fewest parts; None
    if one of them lost none, or if all lost all: then it never comes."""
    found: list[Period] = []
    for period in _periods(book, line, line.section.cadence.times):
        if not period.lost:
            return None
        if len(period.lost) < len(period.parts):
            found.append(period)
    return min(found, key=lambda period: len(period.lost), default=None)


def _periods(book: LintedBook, line: Routine, times: int) -> Iterator[Period]:
    """The periods of a line in the year from its first day on of which its lists leave a day, each
    parted so many times."""
    section, kept = line.section, _kept(book, line)
    if kept is ALL:
        return
    low = max(book.today, book.start, line.first or 0)
    rhythm = rhythm_of(book.household, section, low)
    rhythm = rhythm._replace(cadence=section.cadence._replace(times=times))
    begun = period_at(rhythm, low)
    for days in periods(rhythm, begun[0] if begun else low, min(low + YEAR_AHEAD, MAX_DAY)):
        if kept.any(*days):
            parts = list(cadence_spans(rhythm, section.within, *days))
            yield Period(days, parts, [part for part in parts if not kept.any(*part)])


def _kept(book: LintedBook, line: Routine) -> DaySet:
    """The days that the lists of a line leave it, by those of their days that come again for ever.
    Holidays may well take a part of a week or a month."""
    during = tuple(one for one in line.during if all(_recurs(book, item) for item in one))
    excepted = frozenset(item for item in line.excepted if _recurs(book, item))
    return kept_days(book.household, line._replace(during=during, excepted=excepted))


def _recurs(book: LintedBook, item: DayItem) -> bool:
    days = book.household.named_days.get(item.name)
    return days is None or not (days.spans or any(one.last for one in days.cadences))


def _finding(
    book: LintedBook, line: Routine, names: str, place: TextRange, period: Period
) -> Finding:
    cadence, header = line.section.cadence, line.section.place
    comes = len(period.parts) - len(period.lost)
    lists = written_lists(book, header) + (written_lists(book, place) if place != header else [])
    clauses = " ".join(one.place.text for one in lists)
    new = []
    fix = f"put {names} under a cadence that names its days"
    if any(not one.lost for one in _periods(book, line, comes)):
        fewer = write(header, write_cadence(cadence._replace(times=comes)))
        new = [fewer] if place == header else []
        fix = fewer.words if new else f"put {names} below a header `{fewer.edits[0].new}`"
    often = "once" if comes == 1 else f"{comes} times"
    other = "name fewer days behind `except`" if line.excepted else "name more behind `during`"
    return RULE.finding(
        place,
        f"`{write_cadence(cadence)}` comes {often} from "
        f"{days_from(*period.days)}, not {cadence.times}",
        f"`{clauses}` leaves no day of its {'part' if len(period.lost) == 1 else 'parts'} "
        f"{listed([days_from(*part) for part in period.lost])}; no period of the year ahead has a "
        "day in all its parts",
        f"{fix}, or {other}",
        fixes=new,
    )

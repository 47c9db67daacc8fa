"""A section, or a chore's line in it, that is in force and still comes round on no day.

Why it matters: its chores are in the book and never on a list. Mostly `during` or `except` leaves
out the days it asks for, or `from` and `until` leave it no day.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil
from typing import NamedTuple

from ledger.calendar.day_lists import kept_days
from ledger.calendar.lines import rhythm_of
from ledger.calendar.occurrences import cadence_spans, longest, period_days
from ledger.calendar.week import FIRST_DAY, MAX_DAY
from ledger.household.model import Routine, Span
from ledger.lint.book import LintedBook, dated, days_from, header_alone
from ledger.text.cadences import write_cadence
from ledger.text.clauses import ChoreLine, SectionHeader
from ledger.text.edits import delete, delete_name
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.parser import parser
from ledger.text.parts import Located
from ledger.text.source import TextRange
from ledger.text.words import listed

RULE = Kind.of(__name__, Severity.ERROR)

BAD = """\
area kitchen

every june during july to august
^^^^^^^^^^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen

every june during june to august
    oven  40 min  in kitchen
"""

YEARS = 8
"""Years from one leap day to the next, at most."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each header that falls on no day, else for each of its lines that does not."""
    for section, lines in book.sections.items():
        if section.cadence.is_after_done:
            continue
        header = header_alone(section, lines[0][1])
        if _is_missed(book, header):
            names = listed([name for name, _ in lines])
            yield _finding(book, header, names, section.place)
            continue
        for name, line in lines:
            if line.falls != header.falls and _is_missed(book, line):
                yield _finding(book, line, name, line.name_place)


def _is_missed(book: LintedBook, line: Routine) -> bool:
    """True where a line has days to come, and falls on none of its days in force."""
    cadence, last = line.section.cadence, line.last
    over = cadence.is_once and cadence.last < max(book.today, book.start)
    ended = last is not None and last < max(book.today, line.first or 0)
    low, high = _days_ahead(book, line)
    # Nobody can tell where the calendar ends before enough days were looked at.
    unseen = last is None and high == MAX_DAY
    kept = kept_days(book.household, line)
    has_run_out = kept.first(low) is None and kept.last(FIRST_DAY, low - 1) is not None
    if line.paused or over or ended or unseen or has_run_out:
        return False
    days = _days_ahead(book, line), _days_looked_at(book, line)
    return all(_first_day(book, line, *some) is None for some in days)


def _first_day(book: LintedBook, line: Routine, low: int, high: int) -> int | None:
    """The first day, from one day to another, that is in a window of a line; None if none is."""
    section, begin = line.section, max(book.start, line.first or book.start)
    rhythm = rhythm_of(book.household, section, begin)
    reach = longest(section.cadence, section.within)
    kept = kept_days(book.household, line)
    spans = cadence_spans(rhythm, section.within, max(low - reach, 1), high)
    days = (kept.first(max(first, low), min(last, high)) for first, last in spans if last >= low)
    return next((day for day in days if day is not None), None)


def _days_ahead(book: LintedBook, line: Routine) -> Span:
    """The days looked at first: those from today on."""
    low = max(book.today, book.start, line.first or 0)
    high = min(max(low + _steps(line), line.section.cadence.last), MAX_DAY)
    return low, high if line.last is None else min(high, line.last)


def _steps(line: Routine) -> int:
    cadence = line.section.cadence
    # What counts more than one unit has gaps as long as its period, whatever its days.
    gap = period_days(cadence._replace(days=(), on=())) if cadence.every > 1 else 0
    return max(YEARS * 366, ceil(YEARS * gap))


def _days_looked_at(book: LintedBook, line: Routine) -> Span:
    """The days looked at: all in force if they end soon, else those from today on."""
    household, (low, high) = book.household, _days_ahead(book, line)
    if line.last != high and kept_days(household, line).first(high + 1) is not None:
        return low, high
    if line.first is None and household.since is None and not household.log.dates:
        # A book that does not say when it began may have been kept for long.
        return max(low - _steps(line), 1), high
    return max(book.start, line.first or book.start), high


class Words(NamedTuple):
    """What a finding says."""

    message: str
    why: str
    fix: str
    fixes: list[Fix]


def _finding(book: LintedBook, line: Routine, names: str, place: TextRange) -> Finding:
    words = None
    if line.is_kept_to_days:
        words = _by_lists(book, line, names, place)
    return RULE.finding(place, **(words or _by_dates(book, line, names, place))._asdict())


def _by_lists(book: LintedBook, line: Routine, names: str, place: TextRange) -> Words | None:
    """What to say of a line that its lists of days leave no day; None where it has none anyway."""
    free = line._replace(during=(), excepted=frozenset())
    always = _first_day(book, free, *_days_ahead(book, line))
    if always is None:
        return None
    own = _lists(book, place)
    lists = own or _lists(book, line.section.place)
    clauses, single = " ".join(one.text for one in lists), len(lists) == 1
    if single and not line.excepted:
        none = f"`{clauses}`"
        fix = "write the days it is meant for behind `during`, or delete that clause"
    else:
        none = f"that `{clauses}` leaves"
        fix = "name fewer days behind `except`, or delete a list of days"
    return Words(
        f"`{write_cadence(line.section.cadence)}` falls on no day {none}",
        f"without that it would come on {dated(always)}; as it stands {names} never will",
        fix,
        [delete(one) for one in own if single],
    )


def _by_dates(book: LintedBook, line: Routine, names: str, place: TextRange) -> Words:
    """What to say of a line whose dates leave it no day."""
    cadence = line.section.cadence
    header = write_cadence(cadence)
    low, high = _days_looked_at(book, line)
    if cadence.is_once and cadence.last < low:
        first = getattr(book.node_at(place), "first", None)
        begin = [first.at(place.source, place.line)] if isinstance(first, Located) else []
        return Words(
            f"`{header}` is over before {dated(low)}",
            f"that is the first day on which {names} is in force, so it never comes up",
            "write a `from` up to its last day, or delete that clause",
            [delete_name(clause, f"from {clause.text}") for clause in begin],
        )
    message = f"`{header}` falls on no day from {days_from(low, high)}"
    if line.last == high:
        why = f"{names} is in force on those days only, so it never comes up"
        fix = "write a `from` and an `until` that have one of its days between them"
    else:
        why = f"its months have no such day in all that time, so {names} never comes up"
        fix = "write a day that its months have each year, such as `last`"
    return Words(message, why, fix, [])


def _lists(book: LintedBook, place: TextRange) -> list[TextRange]:
    """The ranges of the lists of days in the line at a place, each with its keyword."""
    node = book.node_at(place)
    if not isinstance(node, (SectionHeader, ChoreLine)):
        return []
    words = list(parser().tokens(place.source.lines[place.line]))
    found = []
    for kind, items in (("DURING", node.during), ("EXCEPT", node.excepted)):
        if items:
            # A chore may have the name of a keyword.
            word = [one for one in words if one.kind == kind and one.end <= items[0].start][-1]
            found.append(place._replace(start=word.start, end=items[-1].end))
    return sorted(found, key=lambda clause: clause.start)

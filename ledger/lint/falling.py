"""Falling: the sections and lines that come round on no day, and their lists of days as written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from math import ceil
from typing import Any, NamedTuple

from ledger.calendar.day_lists import kept_days
from ledger.calendar.lines import rhythm_of
from ledger.calendar.occurrences import cadence_spans, longest, period_days
from ledger.calendar.week import FIRST_DAY, MAX_DAY
from ledger.household.model import DayList, NamedDays, Routine, Span
from ledger.lint.book import LintedBook, header_alone
from ledger.text.clauses import ChoreLine, SectionHeader
from ledger.text.edits import word_place
from ledger.text.parts import DayItem, DayItems, Located
from ledger.text.source import TextRange
from ledger.text.words import listed

YEARS = 8
"""Years from one leap day to the next, at most."""


class FallsNever(NamedTuple):
    """A header, or a line below one, that is in force and still comes round on no day."""

    line: Routine
    """For a header, a line with the days that the header alone gives it."""
    names: str
    """The chores that never come."""
    place: TextRange

    def would_fall(self, book: LintedBook, **changed: Any) -> int | None:
        """The day on which it would come with some fields changed; None if on none."""
        return first_day(book, self.line._replace(**changed), *days_ahead(book, self.line))


def falls_never(book: LintedBook) -> Sequence[FallsNever]:
    """Each header that falls on no day; of the others, each of their lines that does not."""
    return book.household.remember("falls never", lambda: list(_falls_never(book)))


def _falls_never(book: LintedBook) -> Iterator[FallsNever]:
    for section, lines in book.sections.items():
        if section.cadence.is_after_done:
            continue
        header = header_alone(section, lines[0][1])
        if _is_missed(book, header):
            names = listed([name for name, _ in lines])
            yield FallsNever(header, names, section.place)
            continue
        for name, line in lines:
            if line.falls != header.falls and _is_missed(book, line):
                yield FallsNever(line, name, line.name_place)


def _is_missed(book: LintedBook, line: Routine) -> bool:
    """True where a line has days to come, and falls on none of its days in force."""
    cadence, last = line.section.cadence, line.last
    over = cadence.is_once and cadence.last < max(book.today, book.start)
    ended = last is not None and last < max(book.today, line.first or 0)
    low, high = days_ahead(book, line)
    # Nobody can tell where the calendar ends before enough days were looked at.
    unseen = last is None and high == MAX_DAY
    if line.paused or over or ended or unseen:
        return False
    kept = kept_days(book.household, line)
    has_run_out = kept.first(low) is None and kept.last(FIRST_DAY, low - 1) is not None
    if has_run_out or any(map(partial(_is_left_empty, book), line.during)):
        return False
    days = days_ahead(book, line), days_looked_at(book, line)
    return all(first_day(book, line, *some) is None for some in days)


def _is_left_empty(book: LintedBook, items: DayList) -> bool:
    """True for a list of nothing but named days whose lines end before they begin. That is a
    finding of those lines."""
    days = [book.household.named_days.get(item.name) for item in items]
    return all(one is not None and _ends_before_it_begins(one) for one in days)


def _ends_before_it_begins(days: NamedDays) -> bool:
    dates = ((one.first, one.last) for one in days.cadences)
    return not days.spans and all(first and last and first > last for first, last in dates)


def first_day(book: LintedBook, line: Routine, low: int, high: int) -> int | None:
    """The first day, from one day to another, that is in a window of a line; None if none is."""
    section, begin = line.section, max(book.start, line.first or book.start)
    rhythm = rhythm_of(book.household, section, begin)
    reach = longest(section.cadence, section.within)
    kept = kept_days(book.household, line)
    spans = cadence_spans(rhythm, section.within, max(low - reach, 1), high)
    days = (kept.first(max(first, low), min(last, high)) for first, last in spans if last >= low)
    return next((day for day in days if day is not None), None)


def days_ahead(book: LintedBook, line: Routine) -> Span:
    """The days looked at first: those from today on."""
    low = max(book.today, book.start, line.first or 0)
    high = min(max(low + _steps(line), line.section.cadence.last), MAX_DAY)
    return low, high if line.last is None else min(high, line.last)


def days_looked_at(book: LintedBook, line: Routine) -> Span:
    """The days looked at: all in force if they end soon, else those from today on."""
    household, (low, high) = book.household, days_ahead(book, line)
    if line.last != high and kept_days(household, line).first(high + 1) is not None:
        return low, high
    if line.first is None and household.since is None and not household.log.dates:
        # A book that does not say when it began may have been kept for long.
        return max(low - _steps(line), 1), high
    return max(book.start, line.first or book.start), high


def _steps(line: Routine) -> int:
    cadence = line.section.cadence
    # What counts more than one unit has gaps as long as its period, whatever its days.
    gap = period_days(cadence._replace(days=(), on=())) if cadence.every > 1 else 0
    return max(YEARS * 366, ceil(YEARS * gap))


# ------------------------------------------------------------- the lists of days in the text


class WrittenList(NamedTuple):
    """A list of days as a header or a chore writes it."""

    keyword: str
    """during or except."""
    place: TextRange
    """From its keyword to its last item."""
    items: Sequence[tuple[DayItem, TextRange]]


def written_lists(book: LintedBook, place: TextRange) -> list[WrittenList]:
    """The lists of days in the line at a place, in their order."""
    node = book.node_at(place)
    if not isinstance(node, SectionHeader | ChoreLine):
        return []
    both = ("during", node.during), ("except", node.excepted)
    found = [_written(keyword, items, place) for keyword, items in both if items]
    return sorted(found, key=lambda one: one.place.start)


def _written(keyword: str, items: DayItems, place: TextRange) -> WrittenList:
    def at(item: Located[DayItem]) -> TextRange:
        return item.at(place.source, place.line)

    word = word_place(place, keyword.upper(), items[0].start)
    places = [(item.value, at(item)) for item in items]
    return WrittenList(keyword, word._replace(end=items[-1].end), places)


class OwnExcept(NamedTuple):
    """The `except` of a line of the book that would come round without it."""

    written: WrittenList
    comes: int
    """The first day on which it would come without the list."""
    needless: Sequence[TextRange]
    """The items of which each alone takes its last day."""


def own_except(book: LintedBook, one: FallsNever) -> OwnExcept | None:
    """The `except` of its own that leaves a line no day; None where that is not the reason."""
    written = next((own for own in written_lists(book, one.place) if own.keyword == "except"), None)
    if written is None:
        return None
    of_header = one.line.section.excepted if one.place != one.line.section.place else frozenset()
    comes = one.would_fall(book, excepted=of_header)
    if comes is None:
        return None
    items = dict(written.items)
    needless = [
        place
        for item, place in written.items
        if one.would_fall(book, excepted=of_header | (items.keys() - {item})) is not None
    ]
    return OwnExcept(written, comes, needless)

"""Hover on days: a date, a header, named days, and when a person is away or rests."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import islice

from ledger.calendar.day_lists import named
from ledger.calendar.lines import LineInForce
from ledger.calendar.occurrences import period_at
from ledger.calendar.presence import days_absent
from ledger.calendar.week import HORIZON, MAX_DAY
from ledger.editor.markdown import plain
from ledger.editor.names import CursorPosition
from ledger.editor.sections import Block, blocks
from ledger.editor.totals import total_of, total_text
from ledger.editor.view import View
from ledger.household.days import DaysReader
from ledger.household.model import ANYONE, Span
from ledger.render.layout import long_day, near_day, short_day
from ledger.text.cadence_meaning import meaning
from ledger.text.clauses import SectionHeader, clause_values
from ledger.text.writer import write_line

SPANS = 3
"""The most spans of days that are shown."""
MOST_PARTS = 7
"""The most parts of a period that are shown; of more, the next ones are."""


def span_text(first: date, last: date, on: date) -> str:
    """A span of days in words, as it is said on a day; another year than that of the day is said
    too."""
    if first <= on <= last:
        if last == date.max:
            return "now, without an end"
        return "today" if on == last else f"now, until {_day(last, on)}"
    if last == date.max:
        return f"from {_day(first, on)}"
    return _day(last, on) if first == last else f"{_day(first, last)} to {_day(last, on)}"


def _day(day: date, near: date) -> str:
    return short_day(day) + (f" {day.year}" if day.year != near.year else "")


def of_date(view: View, day: int) -> Iterator[str]:
    """What is known of a day."""
    household = view.household
    yield long_day(date.fromordinal(day))
    days = [name for name in household.named_days if named(household, (name,)).holds(day)]
    if days:
        yield ", ".join(days)
    who: dict[str, list[str]] = {}
    for one in household.absences:
        if days_absent(household, one).holds(day):
            who.setdefault(one.keyword, []).append(", ".join(one.people) or "everyone")
    said = [f"{keyword}: {'; '.join(people)}" for keyword, people in sorted(who.items())]
    yield ", ".join(said) or _from_today(day - view.today)


def _from_today(days: int) -> str:
    return near_day(days) or (f"in {days} days" if days > 0 else f"{-days} days ago")


def of_header(view: View, where: CursorPosition, node: SectionHeader) -> Iterator[str]:
    """What a header says, what its chores take, and when they come round next."""
    block = next(one for one in blocks(view.trees[where.path]) if one.header.number == where.line)
    said, title = write_line(node._replace(title=None)), node.title.value if node.title else None
    yield f"**{plain(title)}**: {said}" if title else f"**{said}**"
    yield meaning(node.cadence.value, view.household.weekend)
    yield f"{total_text(total_of(view, where.path, block))}, each time it comes round"
    flags = (clause for clause, _ in clause_values(node) if clause.kind == "flag")
    yield from (f"{flag.keyword}: {flag.about}" for flag in flags)
    yield from _windows(view, where.path, block)


def _windows(view: View, path: str, block: Block) -> Iterator[str]:
    """The next windows of a section, or, under `N times`, all of the period that is now."""
    lines = (view.routines.get((path, line.number)) for line in block.chores)
    line = next((named_routine[1] for named_routine in lines if named_routine), None)
    if line is None or line.section.paused:
        return
    section = line.section
    bare = line._replace(
        assignment=ANYONE,
        during=(section.during,) if section.during else (),
        excepted=section.excepted,
        first=section.first,
        last=section.last,
    )
    calendar = LineInForce.of(view.household, bare, None)
    low, high = view.today, min(view.today + HORIZON, MAX_DAY)
    period = period_at(calendar.rhythm, low) if section.cadence.times > 1 else None
    parts = list(islice(calendar.spans(*period), MOST_PARTS + 1)) if period is not None else []
    if 0 < len(parts) <= MOST_PARTS:
        yield f"In this period: {_in_words(view, parts)}"
        return
    opening = calendar.spans(max(low - calendar.reach + 1, 1), high)
    ahead = _in_words(view, islice((span for span in opening if span[1] >= low), SPANS))
    if ahead:
        yield f"Next: {ahead}"


def of_named_days(view: View, name: str) -> Iterator[str]:
    """What named days are called, and when they come next."""
    known = view.household.named_days.get(name)
    if known is None:
        return
    yield f"**{name}**: {plain(DaysReader.titled(known))}"
    runs = islice(named(view.household, (name,)).runs(view.today, MAX_DAY), SPANS)
    ahead = _in_words(view, runs)
    yield f"Next: {ahead}" if ahead else "No such days are left"


def absences_of(view: View, name: str) -> Iterator[str]:
    """When a person is away or rests next, with the household or alone."""
    household = view.household
    ahead = [
        (span, absence)
        for absence in household.absences
        if not absence.people or name in absence.people
        for span in islice(days_absent(household, absence).runs(view.today, MAX_DAY), SPANS)
    ]
    for span, absence in sorted(ahead, key=lambda one: one[0])[:SPANS]:
        why = absence.title or ", ".join(absence.names)
        yield f"{absence.keyword} {_in_words(view, [span])}{f': {plain(why)}' if why else ''}"


def _in_words(view: View, spans: Iterable[Span]) -> str:
    on = date.fromordinal(view.today)
    days = (map(date.fromordinal, span) for span in spans)
    return "; ".join(span_text(first, last, on) for first, last in days)

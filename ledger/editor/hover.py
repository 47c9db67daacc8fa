"""Hover: what the book knows of the word under the pointer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from itertools import islice

from lsprotocol import types as lsp

from ledger.calendar.day_lists import named
from ledger.calendar.day_set import DaySet
from ledger.calendar.presence import days_absent
from ledger.calendar.week import MAX_DAY
from ledger.editor.names import (
    AREA,
    CHORE,
    NAMED_DAYS,
    PERSON,
    THING,
    CursorPosition,
    NameUse,
    cursor_position,
    name_at,
    node_at,
    places_of,
)
from ledger.editor.sections import blocks
from ledger.editor.totals import total_of, total_text
from ledger.editor.view import View
from ledger.household.cadence import container
from ledger.household.cautions import HAZARDS
from ledger.household.days import DaysReader
from ledger.household.names import own_title
from ledger.household.things import mind
from ledger.render.chore_record_text import rate
from ledger.render.layout import long_day, near_day, short_day
from ledger.report.areas import areas
from ledger.report.chore import About, ToCome, about
from ledger.report.chore_record import Kept
from ledger.text.cadences import write_cadence
from ledger.text.classes import DATE, classes_of
from ledger.text.clauses import SectionHeader
from ledger.text.values import ordinal
from ledger.text.words import counted, duration

WINDOWS = 3
"""The most windows of a chore, and absences of a person, that are shown."""


def hover(view: View, uri: str, position: lsp.Position) -> lsp.Hover | None:
    """What is known of the word at a position, as Markdown; None if there is nothing to say."""
    where = cursor_position(view, uri, position)
    if where.path not in view.trees:
        return None
    use = name_at(view, where)
    if use is not None:
        lines, start, end = list(_of_name(view, use)), use.name.start, use.name.end
    else:
        lines, start, end = _of_line(view, where)
    if not lines:
        return None
    text = "\n".join(f"{line}  " for line in lines)
    range_ = view.positions(where.path).range(where.line, start, end)
    return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.Markdown, text.rstrip()), range_)


def _of_name(view: View, use: NameUse) -> Iterator[str]:
    tell: dict[str, Callable[[View, str], Iterator[str]]] = {
        CHORE: _chore,
        AREA: _area,
        PERSON: _person,
        THING: _thing,
        NAMED_DAYS: _named_days,
    }
    return tell[use.kind](view, use.name.value)


def _of_line(view: View, where: CursorPosition) -> tuple[list[str], int, int]:
    """The text about a header or a date, and the columns that it is about."""
    text = view.positions(where.path).line(where.line)
    for start, end, kind in classes_of(text):
        day = ordinal(text[start:end]) if kind == DATE and end - start > 5 else None
        if start <= where.column <= end and day is not None:
            return [long_day(date.fromordinal(day)), _away(view, day)], start, end
    node = node_at(view.trees[where.path], where.line)
    if isinstance(node, SectionHeader):
        return list(_section(view, where, node)), 0, len(text.rstrip())
    return [], 0, 0


def _away(view: View, day: int) -> str:
    household = view.household
    who: dict[str, list[str]] = {}
    for one in household.absences:
        if days_absent(household, one).holds(day):
            who.setdefault(one.keyword, []).append(", ".join(one.people) or "everyone")
    said = [f"{keyword}: {'; '.join(people)}" for keyword, people in sorted(who.items())]
    return ", ".join(said) or _from_today(day - view.today)


def _from_today(days: int) -> str:
    return near_day(days) or (f"in {days} days" if days > 0 else f"{-days} days ago")


# ------------------------------------------------------------------ chores


def _chore(view: View, name: str) -> Iterator[str]:
    if name not in view.household.chores:
        return
    found = about(view.household, name, view.today)
    title = own_title(name, found.title)
    yield f"**{name}**" + (f": {_plain(title)}" if title else "")
    for line in found.lines:
        words = [line.cadence, *([duration(line.minutes)] if line.minutes else [])]
        words += [f"in {' and '.join(line.areas)}"] if line.areas else []
        words += [line.status.replace("-", " ")] if line.status != "in-force" else []
        yield ", ".join(words)
    yield from _next(found)
    yield from _record(found)
    for caution in found.cautions:
        yield f"Mind, {caution.thing}: {caution.caution} ({caution.source})"
    for caution in found.cautions[:1]:
        yield caution.last_word


def _next(found: About) -> Iterator[str]:
    for share in found.shares:
        if share.state == "overdue" and share.last is not None:
            whose = f" ({share.person})" if share.person else ""
            days = counted(share.days_late, "day", "days")
            yield f"Late{whose}: {days}; it was for {_days(share.first or share.last, share.last)}"
    taking_turns = any(line.form == "then" for line in found.lines)
    spans = dict.fromkeys(
        _when(one, found.on) + (f", {one.people[0]}" if taking_turns and one.people else "")
        for one in found.ahead
    )
    if spans:
        yield f"Next: {'; '.join(list(spans)[:WINDOWS])}"


def _when(one: ToCome, on: date) -> str:
    if one.first <= on < one.last:
        return f"now, until {short_day(one.last)}"
    return "today" if one.last == on else _days(one.first, one.last)


def _days(first: date, last: date) -> str:
    return short_day(last) if first == last else f"{short_day(first)} to {short_day(last)}"


def _record(found: About) -> Iterator[str]:
    done = [line for line in found.record.latest if line.verb == "did"]
    if done:
        last = done[0]
        took = f", {duration(last.minutes)}" if last.minutes is not None else ""
        by = f", by {', '.join(last.people)}" if last.people else ""
        yield f"Last done: {short_day(last.day)} {last.day.year}{took}{by}"
    elif found.record.did == 0:
        yield "Never done so far"
    years = [share.year for share in found.shares]
    told = rate(Kept(sum(one.kept for one in years), sum(one.counted for one in years)))
    if told:
        yield f"Done in the last year: {told}"
    if found.learned is not None:
        lines = found.learned.lines
        yield f"Takes {duration(found.learned.minutes)} by the last {lines} timed lines"


# ------------------------------------------------------------------ all else


def _section(view: View, where: CursorPosition, node: SectionHeader) -> Iterator[str]:
    block = next(one for one in blocks(view.trees[where.path]) if one.header.number == where.line)
    cadence = write_cadence(node.cadence.value)
    title = node.title.value if node.title else None
    yield f"**{_plain(title)}**: {cadence}" if title else f"**{cadence}**"
    yield f"{total_text(total_of(view, where.path, block))}, each time it comes round"
    if node.paused:
        yield "paused: it does not come round"


def _area(view: View, name: str) -> Iterator[str]:
    answer = areas(view.household, view.today)
    for area in answer.areas:
        if area.name != name:
            continue
        yield f"**{name}**: {_plain(area.title or name)}"
        chores = counted(len(area.chores), "chore", "chores")
        yield f"{chores}, {duration(area.minutes)} in an average month"
        if area.care is None:
            yield "Nothing done here so far"
        else:
            ago = counted(area.care.days_ago, "day", "days")
            yield f"Last care: {short_day(area.care.day)}, {ago} ago: {area.care.chore}"
        if area.late:
            yield f"Late: {', '.join(area.late)}"


def _person(view: View, name: str) -> Iterator[str]:
    household = view.household
    if name not in household.people:
        return
    yield f"**{name}**: {_plain(household.people[name].title)}"
    for limit in household.limits.values():
        if limit.of.person == name:
            when = f"on {limit.of.kind}" if limit.of.kind else "a day"
            yield f"at most {duration(limit.minutes)} {when}"
    chores = [
        f"{_plain(container(routine.section))}: {chore.name}"
        for chore in household.chores.values()
        for routine in chore.routines
        if name in routine.assignment.people and routine.assignment.form != "each"
    ]
    if chores:
        yield f"{counted(len(chores), 'chore', 'chores')} by name: {', '.join(chores[:6])}"
    ahead = [
        f"{absence.keyword} {span}"
        for absence in household.absences
        if name in absence.people
        for span in _ahead(view, days_absent(household, absence))
    ]
    yield from ahead[:WINDOWS]


def _named_days(view: View, name: str) -> Iterator[str]:
    known = view.household.named_days.get(name)
    if known is None:
        return
    yield f"**{name}**: {_plain(DaysReader.titled(known))}"
    ahead = _ahead(view, named(view.household, (name,)))
    yield f"Next: {'; '.join(ahead)}" if ahead else "No such days are left"


def _ahead(view: View, days: DaySet) -> list[str]:
    """The next spans of some days, in words."""
    runs = islice(days.runs(view.today, MAX_DAY), WINDOWS)
    return [_span(first, last) for first, last in runs]


def _span(first: int, last: int) -> str:
    begin = date.fromordinal(first)
    return f"from {short_day(begin)}" if last == MAX_DAY else _days(begin, date.fromordinal(last))


def _thing(view: View, name: str) -> Iterator[str]:
    times = len(list(places_of(view, THING, name)))
    yield f"**{name}**: used by {counted(times, 'line', 'lines')} of the routine"
    hazard = HAZARDS.get(name)
    if hazard is not None:
        yield f"Mind: {mind(hazard)}"


def _plain(text: str) -> str:
    """A title that Markdown shows as it is."""
    return "".join(f"\\{sign}" if sign in r"\`*_{}[]<>()#+-.!|~&" else sign for sign in text)

"""Hover: what the book knows of the word under the pointer."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from lsprotocol import types as lsp

from ledger.editor.completion_items import word_details
from ledger.editor.hover_days import (
    SPANS,
    absences_of,
    of_date,
    of_header,
    of_named_days,
    span_text,
)
from ledger.editor.markdown import plain
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
from ledger.editor.view import View
from ledger.household.cadence import container
from ledger.household.cautions import HAZARDS
from ledger.household.names import own_title
from ledger.household.things import mind
from ledger.render.chore_record_text import rate
from ledger.render.layout import short_day
from ledger.report.areas import areas
from ledger.report.chore import About, about
from ledger.report.chore_record import Kept
from ledger.text.classes import DATE, KEYWORD, VERB, classes_of
from ledger.text.clauses import NamedDays, SectionHeader
from ledger.text.parser import kind_of, parser
from ledger.text.values import ordinal
from ledger.text.words import counted, duration

_FLAGS = ("vital", "expires", "spare")


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
        NAMED_DAYS: of_named_days,
    }
    return tell[use.kind](view, use.name.value)


def _of_line(view: View, where: CursorPosition) -> tuple[list[str], int, int]:
    """The text about a date, a word or a header, and the columns that it is about."""
    text = view.positions(where.path).line(where.line)
    node = node_at(view.trees[where.path], where.line)
    for start, end, kind in classes_of(text):
        if start <= where.column <= end and kind in (DATE, KEYWORD, VERB):
            day = ordinal(text[start:end]) if end - start > len("00:00") else None
            lines = list(_of_word(view, where, start) if day is None else of_date(view, day))
            if lines:
                return lines, start, end
    if isinstance(node, SectionHeader):
        return list(of_header(view, where, node)), 0, len(text.rstrip())
    return [], 0, 0


def _of_word(view: View, where: CursorPosition, start: int) -> Iterator[str]:
    """What a word of the grammar says; nothing of the words of a cadence."""
    tree, text = view.trees[where.path], view.positions(where.path).line(where.line)
    node = node_at(tree, where.line)
    cadence = node.cadence if isinstance(node, SectionHeader | NamedDays) else None
    if cadence is not None and cadence.start <= start < cadence.end:
        return
    token = next(token for token in parser().tokens(text) if token.start == start)
    about = word_details(kind_of(text) if start else "").get(token.kind)
    if about:
        header = node if isinstance(node, SectionHeader) else tree.header_of(where.line)
        idle = token.kind == "EXPIRES" and header and header.cadence.value.is_after_done
        yield f"**{token.text}**: {about}" + ("; it has no effect here" if idle else "")


# ------------------------------------------------------------------ chores


def _chore(view: View, name: str) -> Iterator[str]:
    if name not in view.household.chores:
        return
    found = about(view.household, name, view.today)
    title = own_title(name, found.title)
    yield f"**{name}**" + (f": {plain(title)}" if title else "")
    for line in found.lines:
        words = [line.cadence, *([duration(line.minutes)] if line.minutes else [])]
        words += [f"in {' and '.join(line.areas)}"] if line.areas else []
        words += [flag for flag in _FLAGS if getattr(line, flag)]
        words += [line.status.replace("-", " ")] if line.status != "in-force" else []
        yield ", ".join(words)
    if found.steps:
        yield f"Steps: {'; '.join(map(plain, found.steps))}"
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
            window = span_text(share.first or share.last, share.last, found.on)
            yield f"Late{whose}: {days}; it was for {window}"
    taking_turns = any(line.form == "then" for line in found.lines)
    spans = dict.fromkeys(
        span_text(one.first, one.last, found.on)
        + (f", {one.people[0]}" if taking_turns and one.people else "")
        for one in found.ahead
    )
    if spans:
        yield f"Next: {'; '.join(list(spans)[:SPANS])}"


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


def _area(view: View, name: str) -> Iterator[str]:
    answer = areas(view.household, view.today)
    for area in answer.areas:
        if area.name != name:
            continue
        yield f"**{name}**: {plain(area.title or name)}"
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
    yield f"**{name}**: {plain(household.people[name].title)}"
    for limit in household.limits.values():
        if limit.of.person == name:
            when = f"on {limit.of.kind}" if limit.of.kind else "a day"
            yield f"at most {duration(limit.minutes)} {when}"
    chores = [
        f"{plain(container(routine.section))}: {chore.name}"
        for chore in household.chores.values()
        for routine in chore.routines
        if name in routine.assignment.people and not routine.is_for_everyone
    ]
    if chores:
        yield f"{counted(len(chores), 'chore', 'chores')} by name: {', '.join(chores[:6])}"
    yield from absences_of(view, name)


def _thing(view: View, name: str) -> Iterator[str]:
    times = len(list(places_of(view, THING, name)))
    yield f"**{name}**: used by {counted(times, 'line', 'lines')} of the routine"
    hazard = HAZARDS.get(name)
    if hazard is not None:
        yield f"Mind: {mind(hazard)}"

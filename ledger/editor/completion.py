"""Completion: what can follow the words that a line has so far."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from contextlib import suppress
from datetime import date
from typing import NamedTuple

from lsprotocol import types as lsp

from ledger.calendar.week import FIRST_DAY, MAX_DAY, month_index, month_last
from ledger.editor.cadence_items import cadence_items
from ledger.editor.completion_items import (
    DURATIONS,
    CompletionItem,
    area_items,
    chore_items,
    date_items,
    days_items,
    minutes_items,
    person_items,
    thing_items,
    word_items,
)
from ledger.editor.names import (
    AREA,
    CHORE,
    NAMED_DAYS,
    THING,
    NameUse,
    cursor_position,
    names_in,
)
from ledger.editor.view import View
from ledger.text.builder import build
from ledger.text.clauses import ChoreLine, NamedDays, SectionHeader, clause_values
from ledger.text.parser import END, LineFault, kind_of, parser
from ledger.text.tree import LimitLine, Node, RecordLine
from ledger.text.values import ValueFault, ordinal

_PARTIAL = re.compile(r'[^ \t,"#]*\Z')
_OPEN_TITLE = re.compile(r'(?:[^"#]|"(?:[^"\\]|\\.)*")*"(?:[^"\\]|\\.)*\Z')
_COMMENT = re.compile(r'(?:[^"#]|"(?:[^"\\]|\\.)*")*#')
# A line may be complete only with one of these after a name.
_ENDINGS = ("x", "x to 2000-01-01", "x 1 min", "x 2000-01-01")
_CONTRARY = {"VITAL", "SPARE"}
_WITHIN = ("2 days", "3 days", "7 days")


class Begun(NamedTuple):
    """A line up to the word that is being typed."""

    text: str
    start: str
    """The grammar's start symbol."""
    kinds: frozenset[str]
    """The kinds of words that can come next."""
    node: Node | None
    """What the line says so far; None if it cannot end here."""
    header: SectionHeader | None = None
    """The header that it stands below."""


def completion(
    view: View, uri: str, position: lsp.Position, on_its_own: bool = False
) -> lsp.CompletionList:
    """What could be typed at a position, the likeliest first.

    `on_its_own` means that a blank was typed and nobody asked. Then nothing is offered where the
    line could end: the return key would take the first word of the list.
    """
    where = cursor_position(view, uri, position)
    if where.path not in view.trees:
        return lsp.CompletionList(is_incomplete=False, items=[])
    positions = view.positions(where.path)
    before = positions.line(where.line)[: where.column]
    if _OPEN_TITLE.match(before) or _COMMENT.match(before):
        return lsp.CompletionList(is_incomplete=False, items=[])
    partial = _PARTIAL.search(before)
    start = partial.start() if partial else len(before)
    if start and before[start - 1] not in " \t,":
        return lsp.CompletionList(is_incomplete=False, items=[])
    range_ = positions.range(where.line, start, where.column)
    header = view.trees[where.path].header_of(where.line)
    items = [] if on_its_own and _can_end(before) else _items(view, before[:start], header)
    protocol_items = [_protocol_item(item, rank, range_) for rank, item in enumerate(items)]
    return lsp.CompletionList(is_incomplete=False, items=protocol_items)


def _can_end(text: str) -> bool:
    begun = _begun(text)
    return begun is None or END in begun.kinds


def _protocol_item(item: CompletionItem, rank: int, range_: lsp.Range) -> lsp.CompletionItem:
    return lsp.CompletionItem(
        label=item.text,
        kind=item.kind,
        detail=item.detail,
        documentation=item.about,
        # Editors sort by letters unless they are told an order.
        sort_text=f"{rank:05}",
        filter_text=item.text,
        text_edit=lsp.TextEdit(range_, item.text),
    )


def _items(view: View, text: str, header: SectionHeader | None) -> Iterable[CompletionItem]:
    if not text:
        days = _dates([view.today, view.today - 1])
        kinds = parser().kinds_after("", "declaration_line")
        return [*date_items(view, days), *word_items(kinds, "")]
    begun = _begun(text, header)
    if begun is None:
        return []
    next_name = _next_name(begun) if "NAME" in begun.kinds else None
    if next_name is not None:
        return _names(view, begun, *next_name)
    return [
        *_numbers(view, begun),
        *(date_items(view, _days(view, begun)) if "DATE" in begun.kinds else ()),
        *_words(view, begun),
    ]


def _words(view: View, begun: Begun) -> Iterable[CompletionItem]:
    """The words of the grammar that can come next, numbers last."""
    words = word_items(begun.kinds - _used(begun), begun.start)
    if begun.start != "declaration_line":
        return _fitting(begun, words)
    cadences = list(cadence_items(begun.text, view.household.weekend))
    # `weekend is` goes on with a word that belongs to no cadence; no other beginning does.
    others = [word for word in words if not cadences or word.text == "is"]
    wanted = _wanted(begun.node)
    return sorted(
        _fitting(begun, [*cadences, *others]),
        key=lambda item: (item.text != wanted, item.text[0].isdigit()),
    )


def _fitting(begun: Begun, items: Iterable[CompletionItem]) -> Iterator[CompletionItem]:
    """Those that a list can go on with: none that it has already."""
    if not begun.text.rstrip(" \t").endswith(","):
        yield from items
        return
    for item in items:
        with suppress(ValueFault):
            with suppress(LineFault):
                build(parser().parse(begun.text + item.text, begun.start))
            yield item


def _wanted(node: Node | None) -> str | None:
    """The word without which a line falls on no day."""
    if isinstance(node, SectionHeader | NamedDays) and node.cadence and node.first is None:
        return "from" if node.cadence.value.needs_from else None
    return None


def _begun(text: str, header: SectionHeader | None = None) -> Begun | None:
    """The line so far; None if no line begins so."""
    start = kind_of(text) if text.strip(" \t") else "chore_line"
    try:
        kinds = parser().kinds_after(text, start)
    except LineFault:
        return None
    return Begun(text, start, kinds, _node(text, start), header)


def _node(text: str, start: str) -> Node | None:
    try:
        return build(parser().parse(text, start))[0]
    except (LineFault, ValueFault):
        return None


def _next_name(begun: Begun) -> tuple[NameUse, Node] | None:
    """What a name that is typed next would refer to, and what the line would then say."""
    for ending in _ENDINGS:
        node = _node(begun.text + ending, begun.start)
        for named in names_in(node):
            if node is not None and named.name.start == len(begun.text):
                return named, node
    return None


def _names(view: View, begun: Begun, named: NameUse, node: Node) -> Iterator[CompletionItem]:
    # Lines of one name of days add up; of all else a new name is wanted.
    if named.declares and named.kind != NAMED_DAYS:
        return
    named_before = {
        one.name.value
        for one in names_in(node)
        if one.kind == named.kind and one.name.start < named.name.start
    }
    if named.kind == CHORE:
        day = node.date.value if isinstance(node, RecordLine) else None
        if isinstance(node, RecordLine) and node.entry.verb == "moved":
            named_before |= _expiring(view)
        yield from chore_items(view, day, named_before)
    elif named.kind == AREA:
        yield from area_items(view, named_before)
    elif named.kind == THING:
        yield from thing_items(view, named_before)
    elif named.kind == NAMED_DAYS:
        yield from _days_names(view, begun, named, named_before)
    else:
        yield from person_items(view, named_before)
        yield from _beside_people(view, begun)


def _expiring(view: View) -> set[str]:
    """Chores that are for their own days only."""
    return {
        chore.name
        for chore in view.household.chores.values()
        if not chore.is_after_done and all(line.expires for line in chore.routines)
    }


def _days_names(
    view: View, begun: Begun, named: NameUse, named_before: Collection[str]
) -> Iterator[CompletionItem]:
    words = begun.text.split()
    # Only behind a person can a limit name days too.
    if words[0] != "limit" or words[1] in view.household.people:
        yield from _fitting(begun, days_items(view, named_before))
    if not named.declares:
        yield from _beside_days(view, begun)


def _beside_people(view: View, begun: Begun) -> Iterator[CompletionItem]:
    """Words that may take the place of a person: `by each`, `limit weekday`."""
    if begun.start == "chore_line" and begun.text.rstrip(" \t").endswith("by"):
        yield from word_items({"EACH"}, begun.start)
    if begun.text.split() == ["limit"]:
        # Here `each` is no name for days.
        yield from days_items(view, {"each"})
        yield from word_items({"WEEKDAY", "WEEKEND", "DAY"}, begun.start)


def _beside_days(view: View, begun: Begun) -> Iterator[CompletionItem]:
    """What may take the place of named days: dates, kinds of days, months, a limit's minutes."""
    first, *others = begun.text.split()
    if first in ("away", "rest"):
        if not others:
            yield from date_items(view, _days(view, begun))
            if "from" not in view.household.named_days:
                yield from word_items({"FROM"}, begun.start)
        return
    kinds = {"DAY", "WEEKDAY", "WEEKEND"}
    if first == "limit":
        yield from _durations()
        if others[0] not in view.household.people:
            return
    else:
        kinds.add("MONTH")
    yield from _fitting(begun, word_items(kinds, begun.start))


def _used(begun: Begun) -> set[str]:
    """The keywords that would say nothing new: those of clauses that the line has, and flags that
    cannot be or have no effect."""
    node, keywords = begun.node, parser().tables.keywords
    if not isinstance(node, ChoreLine | SectionHeader | NamedDays):
        return set()
    # A duration has no keyword, so its number stands for it.
    used = {keywords.get(clause.keyword, "INT") for clause, _ in clause_values(node)}
    if used & _CONTRARY:
        used |= _CONTRARY
    header = begun.header if isinstance(node, ChoreLine) else node
    if isinstance(header, SectionHeader):
        flags = (clause for clause, _ in clause_values(header) if clause.kind == "flag")
        used |= {keywords[clause.keyword] for clause in flags}
        if header.cadence.value.is_after_done:
            used.add("EXPIRES")
    return used


def _numbers(view: View, begun: Begun) -> Iterator[CompletionItem]:
    """Durations, if one fits: usual ones for a chore; for the record, what the chore takes."""
    if "INT" not in begun.kinds - _used(begun):
        return
    # What was worked on wants its minutes: without them the line cannot end.
    node = begun.node or _node(f"{begun.text}1 min", begun.start)
    if isinstance(node, RecordLine):
        item = node.entry.items[-1]
        if item.minutes is None or begun.node is None:
            known = list(minutes_items(view, item.name.value))
            yield from known
            # A part of it may take any time.
            if begun.node is None:
                texts = {one.text for one in known}
                yield from (one for one in _durations() if one.text not in texts)
    elif begun.text.split()[-1] == "within":
        yield from (CompletionItem(text, None, lsp.CompletionItemKind.Value) for text in _WITHIN)
    elif isinstance(node, ChoreLine) or (isinstance(node, LimitLine) and begun.node is None):
        yield from _durations()


def _durations() -> Iterator[CompletionItem]:
    """Usual durations."""
    return (CompletionItem(text, None, lsp.CompletionItemKind.Value) for text in DURATIONS)


def _days(view: View, begun: Begun) -> Iterator[date]:
    """Likely dates. None comes before a date that the line names already, the day of a line of the
    record left out."""
    if begun.start == "record_line":
        return _dates(range(view.today + 1, view.today + 8))
    words = begun.text.replace(",", " ").split()
    last = max(filter(None, map(ordinal, words)), default=0)
    if last:
        return _dates(last + ahead for ahead in (1, 2, 6, 13, 27))
    today = view.today
    return _dates([today, today + 1, today + 7, month_last(month_index(today)) + 1])


def _dates(days: Iterable[int]) -> Iterator[date]:
    """Days as dates, without those that no book can hold."""
    return (date.fromordinal(day) for day in days if FIRST_DAY <= day <= MAX_DAY)

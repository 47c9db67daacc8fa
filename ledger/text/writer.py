"""The writer: turns a node back into its line."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any, assert_never

from ledger.text.cadences import write_cadence
from ledger.text.clauses import (
    ChoreLine,
    Clause,
    ClauseLine,
    NamedDays,
    SectionHeader,
    ValueKind,
    clause_values,
    plain,
)
from ledger.text.parts import Day, DayItem, Located, Name, Spans
from ledger.text.tree import (
    AbsentLine,
    Declared,
    LimitLine,
    Node,
    RecordEntry,
    RecordItem,
    RecordLine,
    Setting,
    Step,
)
from ledger.text.values import DAYS, MONTHS
from ledger.text.words import days_text, duration

INDENT = "    "
STEP_INDENT = 2 * INDENT


def write_line(node: Node, comment: Name | None = None) -> str:
    """The line of a node, words one blank apart; reading it gives the node back."""
    return _commented(_write(node), comment)


def write_tail(entry: RecordEntry) -> str:
    """What follows the date in the line of an entry, with its comment."""
    return _commented(f" {write_entry(entry)}", entry.comment)


def _commented(text: str, comment: Name | None) -> str:
    return f"{text}  {comment.value}" if comment else text


def quoted(title: str) -> str:
    """A title as a book writes it."""
    return '"' + title.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _write(node: Node) -> str:
    match node:
        case Setting():
            return f"{node.keyword} {_setting(node)}"
        case Declared():
            return _words(node.keyword, node.name.value, _title(node.title))
        case NamedDays():
            days = write_spans(node.spans) if node.spans else ""
            return _words("days", node.name.value, days, *write_clauses(node).values())
        case LimitLine():
            return f"{limit_head(node)} {duration(node.minutes.value)}"
        case AbsentLine():
            by = f"by {_names(node.people)}" if node.people else ""
            return _words(node.keyword, write_spans(node.spans), by, _title(node.title))
        case SectionHeader():
            return _words(*write_clauses(node).values())
        case ChoreLine():
            return INDENT + _chore(node)
        case Step():
            return f"{STEP_INDENT}- {node.text.value}".rstrip(" ")
        case RecordLine():
            return f"{_day(node.date)} {write_entry(node.entry)}"


def limit_head(node: LimitLine) -> str:
    """The words of a limit before its minutes."""
    return _words("limit", node.who.value, node.kind.value if node.kind else "")


def write_spans(spans: Spans) -> str:
    """Days as a book writes them: spans, or the names of named days."""
    if spans.names:
        return _names(spans.names)
    return ", ".join(_span(first, last) for first, last in spans.dates)


def _span(first: Day, last: Day | None) -> str:
    if last is None:
        return f"from {_day(first)}"
    return _day(first) if first == last else f"{_day(first)} to {_day(last)}"


def write_day_item(item: DayItem) -> str:
    """An item of a list of days as a book writes it: `april to october`, `friday`, `school`."""
    match item.kind:
        case "months":
            first, last = MONTHS[item.first - 1], MONTHS[item.last - 1]
            return first if first == last else f"{first} to {last}"
        case "day":
            return DAYS[item.first]
        case "weekday" | "weekend":
            return item.kind
        case "named":
            return item.name
    assert_never(item.kind)


def write_entry(entry: RecordEntry) -> str:
    """The text after the date in a line of the record."""
    items = ", ".join(map(_item, entry.items))
    to = f"to {_day(entry.to)}" if entry.to else ""
    by = f"by {_names(entry.people)}" if entry.people else ""
    return _words(entry.verb, items, to, by, _title(entry.note))


def _words(*words: str) -> str:
    return " ".join(filter(None, words))


def _setting(node: Setting) -> str:
    value = node.value
    if not isinstance(value, Located):
        return ", ".join(DAYS[day.value] for day in value)
    if isinstance(value.value, str):
        return quoted(value.value)
    if node.keyword == "since":
        return str(date.fromordinal(value.value))
    if node.keyword == "week starts":
        return DAYS[value.value]
    return f"{value.value // 60:02}:{value.value % 60:02}"


def _chore(node: ChoreLine) -> str:
    return _words(node.name.value, *write_clauses(node).values())


def write_clauses(node: ClauseLine) -> dict[Clause, str]:
    """The clauses of a line as a book writes them, in the formatter's order."""
    return {
        clause: _words(clause.keyword, say_value(clause, plain(value)))
        for clause, value in clause_values(node)
    }


def say_value(clause: Clause, value: Any) -> str:
    """The text of a clause after its keyword, given its value without places."""
    return _WRITERS[clause.kind](value)


def write_turn(turn: tuple[str, Sequence[str]]) -> str:
    """Who does a chore as a book writes it behind `by`, by its form and its people."""
    form, people = turn
    if form == "each":
        return f"each of {', '.join(people)}" if people else "each"
    return _BETWEEN_PEOPLE[form].join(people)


_BETWEEN_PEOPLE = {"any": " or ", "then": " then ", "together": " and "}


_WRITERS: dict[ValueKind, Callable[[Any], str]] = {
    "cadence": write_cadence,
    "duration": duration,
    "names": ", ".join,
    "turn": write_turn,
    "day-list": lambda items: ", ".join(map(write_day_item, items)),
    "days": days_text,
    "date": lambda day: str(date.fromordinal(day)),
    "flag": lambda _: "",
    "title": quoted,
}


def _item(item: RecordItem) -> str:
    name = item.name.value
    return f"{name} {duration(item.minutes.value)}" if item.minutes else name


def _names(names: tuple[Name, ...]) -> str:
    return ", ".join([name.value for name in names])


def _day(day: Located[int]) -> str:
    return str(date.fromordinal(day.value))


def _title(title: Name | None) -> str:
    return quoted(title.value) if title else ""

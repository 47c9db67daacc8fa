"""The writer: a node back to the line that says it."""

from __future__ import annotations

from datetime import date

from ledger.text.tree import (
    Away,
    Cadence,
    ChoreLine,
    Declared,
    Entry,
    Item,
    Limit,
    MonthDay,
    Name,
    Node,
    Placed,
    RecordLine,
    Section,
    Setting,
    Turn,
)
from ledger.text.values import DAYS, LAST, MONTHS, ORDINALS

INDENT = "    "


def write_line(node: Node, comment: Name | None = None) -> str:
    """The line of a node, words one blank apart; reading it gives the node back."""
    text = _write(node)
    return f"{text}  {comment.value}" if comment else text


def duration(minutes: int) -> str:
    """Minutes as a book writes them: `15 min`, `2 h`, `1 h 30 min`."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def quoted(title: str) -> str:
    """A title as a book writes it."""
    return '"' + title.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _write(node: Node) -> str:
    match node:
        case Setting():
            return f"{node.keyword} {_setting(node)}"
        case Declared():
            return _words(node.keyword, node.name.value, _title(node.title))
        case Limit():
            return f"limit {node.who.value} {duration(node.minutes.value)}"
        case Away():
            last = f"to {_day(node.last)}" if node.last != node.first else ""
            by = f"by {_names(node.people)}" if node.people else ""
            return _words("away", _day(node.first), last, by, _title(node.title))
        case Section():
            return _section(node)
        case ChoreLine():
            return INDENT + _chore(node)
        case RecordLine():
            return f"{_day(node.date)} {write_entry(node.entry)}"


def write_entry(entry: Entry) -> str:
    """What follows the date in a line of the record."""
    items = ", ".join(_item(item) for item in entry.items)
    to = f"to {_day(entry.to)}" if entry.to else ""
    by = f"by {_names(entry.people)}" if entry.people else ""
    return _words(entry.verb, items, to, by, _title(entry.note))


def write_cadence(cadence: Cadence) -> str:
    """The cadence as a header says it: `every 2 weeks on thursday`."""
    count = cadence.every
    days = ", ".join(DAYS[day] for day in cadence.days)
    on = ", ".join(_month_day(day) for day in cadence.on) or days
    on = f" on {on}" if on else ""
    match cadence.kind:
        case "numbered-weekend":
            numbers = ("last" if n == LAST else str(n) for n in cadence.weekends)
            return f"weekend {', '.join(numbers)}"
        case "named-day":
            return f"every {days}"
        case "named-month":
            return "every " + ", ".join(MONTHS[m - 1] for m in cadence.months) + on
        case "after-done":
            return f"{count} {'day' if count == 1 else 'days'} after done"
        case "once":
            first, last = date.fromordinal(cadence.first), date.fromordinal(cadence.last)
            return f"once from {first} to {last}"
        case unit:
            return (f"every {unit}" if count == 1 else f"every {count} {unit}s") + on


def _words(*words: str) -> str:
    return " ".join(word for word in words if word)


def _setting(node: Setting) -> str:
    value = node.value
    if not isinstance(value, Placed):
        return ", ".join(DAYS[day.value] for day in value)
    if isinstance(value.value, str):
        return quoted(value.value)
    if node.keyword == "since":
        return str(date.fromordinal(value.value))
    if node.keyword == "week starts":
        return DAYS[value.value]
    return f"{value.value // 60:02}:{value.value % 60:02}"


def _section(node: Section) -> str:
    during = within = ""
    if node.during:
        first, last = node.during.value
        during = f"during {MONTHS[first - 1]} to {MONTHS[last - 1]}"
    if node.within:
        within = f"within {node.within.value} {'day' if node.within.value == 1 else 'days'}"
    return _words(
        "paused" if node.paused else "",
        write_cadence(node.cadence.value),
        during,
        within,
        _from(node.first),
        _until(node.last),
        _title(node.title),
    )


def _chore(node: ChoreLine) -> str:
    minutes = duration(node.minutes.value) if node.minutes else ""
    return _words(node.name.value, minutes, *clauses(node))


def clauses(node: ChoreLine) -> list[str]:
    """The clauses of a chore after its minutes, in their one order, empty where not given."""
    return [
        f"in {_names(node.areas)}" if node.areas else "",
        f"by {write_turn(node.turn)}" if node.turn else "",
        f"uses {_names(node.things)}" if node.things else "",
        f"after {_names(node.after)}" if node.after else "",
        _from(node.first),
        _until(node.last),
        "paused" if node.paused else "",
        _title(node.title),
    ]


def write_turn(turn: Turn) -> str:
    """Who does a chore, as its `by` clause says it."""
    if turn.form == "each":
        return "each"
    between = " then " if turn.form == "then" else " or "
    return between.join(name.value for name in turn.people)


def _item(item: Item) -> str:
    return _words(item.name.value, duration(item.minutes.value) if item.minutes else "")


def _month_day(day: MonthDay) -> str:
    if day.weekday is None:
        return "last" if day.number == LAST else str(day.number)
    turn = "last" if day.number == LAST else ORDINALS[day.number - 1] if day.number else ""
    return _words(turn, DAYS[day.weekday])


def _names(names: tuple[Name, ...]) -> str:
    return ", ".join(name.value for name in names)


def _day(day: Placed[int]) -> str:
    return str(date.fromordinal(day.value))


def _from(day: Placed[int] | None) -> str:
    return f"from {_day(day)}" if day else ""


def _until(day: Placed[int] | None) -> str:
    return f"until {_day(day)}" if day else ""


def _title(title: Name | None) -> str:
    return quoted(title.value) if title else ""

"""What this reader makes of a conformance case, in the shape that FORMAT.md gives to JSON."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from whole import history, standings

from ledger.calendar.windows import Timeline
from ledger.household.model import Household
from ledger.keeping.matching import MatchedWindow
from ledger.keeping.minutes import learned_minutes
from ledger.keeping.status import Standing, timelines
from ledger.keeping.turns import people_for
from ledger.planning.load import Demand, limit_of, overloads
from ledger.text.finding import Severity
from ledger.text.source import Source
from ledger.text.tree import (
    AwayLine,
    Cadence,
    ChoreLine,
    Declared,
    LimitLine,
    Line,
    Located,
    MonthDay,
    Name,
    RecordEntry,
    RecordItem,
    RecordLine,
    SectionHeader,
    Setting,
    Tree,
)
from ledger.text.values import DAYS, LAST, MONTHS, ORDINALS
from ledger.workspace import Workspace, read_sources

Json = dict[str, Any]
"""Any: JSON holds what it holds; the test compares it whole."""

BOOK_READ_ON = "2026-01-01"
"""The day of reading where a case names none."""


def answers(book: Path, case: Json) -> Json:
    """A case as this reader answers it: every key of the case, and only those."""
    files = sorted([book, *(book.parent / name for name in case.get("with", ()))])
    workspace = read_sources(Source.decode(str(file), file.read_bytes()) for file in files)
    found: Json = {}
    for key, said in case.items():
        if key in ("with", "today"):
            found[key] = said
        elif key == "reads":
            found[key] = _reads(workspace.trees[files.index(book)])
        elif key == "faults":
            found[key] = faults_of(workspace, book)
        else:
            household = workspace.household.on(_day(case.get("today", BOOK_READ_ON)))
            ask = _QUESTIONS[key]
            found[key] = [ask(household, question) for question in said]
    return found


def faults_of(workspace: Workspace, book: Path) -> list[Json]:
    """The faults that stand in one file, in order of place."""
    places = sorted(
        (finding.place.line + 1, finding.place.start + 1, finding.rule)
        for finding in workspace.findings
        if finding.severity is Severity.ERROR and finding.place.source.path == str(book)
    )
    return [{"line": line, "column": column, "kind": kind} for line, column, kind in places]


def _day(text: str) -> int:
    return date.fromisoformat(text).toordinal()


def _date(day: int) -> str:
    return date.fromordinal(day).isoformat()


# ------------------------------------------------------------------ lines


def _reads(tree: Tree) -> list[Json]:
    return [_line(line) for line in tree.all_lines() if line.node is not None or line.comment]


def _line(line: Line) -> Json:
    said: Json = {"line": line.number + 1}
    match line.node:
        case None:
            said["kind"] = "comment"
        case Setting():
            said |= _setting(line.node)
        case Declared():
            said |= {"kind": line.node.keyword, "name": line.node.name.value}
            said |= _value("title", line.node.title)
        case LimitLine():
            said |= {"kind": "limit", "who": line.node.who.value}
            said["minutes"] = line.node.minutes.value
        case AwayLine():
            said |= _away(line.node)
        case SectionHeader():
            said |= _section(line.node)
        case ChoreLine():
            said |= _chore(line.node)
        case RecordLine():
            said |= _record(line.node.date, line.node.entry)
    return said | _value("comment", line.comment)


def _value(key: str, value: Located[str] | Located[int] | None) -> Json:
    return {} if value is None else {key: value.value}


def _when(key: str, day: Located[int] | None) -> Json:
    return {} if day is None else {key: _date(day.value)}


def _names(key: str, names: tuple[Name, ...]) -> Json:
    return {key: [name.value for name in names]} if names else {}


def _setting(node: Setting) -> Json:
    value = node.value
    said: Json = {"kind": node.keyword}
    if not isinstance(value, Located):
        return said | {"days": [DAYS[day.value] for day in value]}
    if isinstance(value.value, str):
        return said | {"title": value.value}
    if node.keyword == "since":
        return said | {"date": _date(value.value)}
    if node.keyword == "week starts":
        return said | {"day": DAYS[value.value]}
    return said | {"time": f"{value.value // 60:02}:{value.value % 60:02}"}


def _away(node: AwayLine) -> Json:
    said = {"kind": "away", "from": _date(node.first.value), "to": _date(node.last.value)}
    return said | _names("by", node.people) | _value("title", node.title)


def _section(node: SectionHeader) -> Json:
    said: Json = {"kind": "section", "cadence": _cadence(node.cadence.value)}
    if node.paused:
        said["paused"] = True
    if node.during:
        said["during"] = [MONTHS[month - 1] for month in node.during.value]
    said |= _value("within", node.within)
    return (
        said | _when("from", node.first) | _when("until", node.last) | _value("title", node.title)
    )


def _cadence(cadence: Cadence) -> Json:
    said: Json = {"kind": cadence.kind.replace("-", " ")}
    if cadence.kind in ("day", "week", "month"):
        said["every"] = cadence.every
    if cadence.kind == "after-done":
        said["days"] = cadence.every
    if cadence.kind == "once":
        said |= {"from": _date(cadence.first), "to": _date(cadence.last)}
    if cadence.days:
        said["days"] = [DAYS[day] for day in cadence.days]
    if cadence.weekends:
        said["numbers"] = ["last" if n == LAST else n for n in cadence.weekends]
    if cadence.months:
        said["months"] = [MONTHS[month - 1] for month in cadence.months]
    if cadence.on:
        said["on"] = [_month_day(day) for day in cadence.on]
    return said


def _month_day(day: MonthDay) -> str | int:
    number = day.number
    turn = "last" if number == LAST else ORDINALS[number - 1] if 0 < number <= 5 else ""
    if day.weekday is not None:
        return f"{turn} {DAYS[day.weekday]}".strip()
    return "last" if number == LAST else number


def _chore(node: ChoreLine) -> Json:
    said: Json = {"kind": "chore", "name": node.name.value}
    said |= _value("minutes", node.minutes) | _names("in", node.areas)
    if node.assignment:
        people = [name.value for name in node.assignment.people]
        said["by"] = {"form": node.assignment.form, "people": people}
    said |= _names("uses", node.things) | _names("after", node.after)
    said |= _when("from", node.first) | _when("until", node.last)
    if node.paused:
        said["paused"] = True
    return said | _value("title", node.title)


def _record(day: Located[int], entry: RecordEntry) -> Json:
    said = {"kind": entry.verb, "date": _date(day.value), "items": [_item(i) for i in entry.items]}
    said |= _names("by", entry.people) | _when("to", entry.to) | _value("note", entry.note)
    return said


def _item(item: RecordItem) -> Json:
    return {"name": item.name.value} | _value("minutes", item.minutes)


# ------------------------------------------------------------------ answers


def _timeline(household: Household, question: Json) -> Timeline:
    chore = household.chores[question["chore"]]
    person = question.get("person")
    return next(t for t in timelines(household, chore) if t.person == person)


def _asked(question: Json) -> Json:
    """What a question says of itself, without the answers that stand beside it."""
    return {k: question[k] for k in ("chore", "person", "from", "to", "on") if k in question}


def _span(first: int, last: int) -> list[str]:
    return [_date(first), _date(last)]


def _windows(household: Household, question: Json) -> Json:
    timeline = _timeline(household, question)
    found = timeline.between(_day(question["from"]), _day(question["to"]))
    excused = [_span(window.first, window.last) for window in found if window.excused]
    said = _asked(question)
    said["are"] = [_span(window.first, window.last) for window in found if not window.excused]
    return said | ({"excused": excused} if excused else {})


def _matching(household: Household, question: Json) -> Json:
    day = _day(question["on"])
    occasions, extras = history(_timeline(household, question), household.log, day)
    lines = household.log.lines
    opened = [one for one in occasions if one.first <= day or one.mark or _has_moved(one)]
    return _asked(question) | {
        "windows": [_occasion(one, lines) for one in opened],
        "extras": [lines[mark.line] + 1 for mark in extras],
    }


def _has_moved(occasion: MatchedWindow) -> bool:
    window = occasion.window
    return (occasion.first, occasion.last) != (window.first, window.last)


def _occasion(occasion: MatchedWindow, lines: Sequence[int]) -> Json:
    said: Json = {"window": _span(occasion.window.first, occasion.window.last)}
    if _has_moved(occasion):
        said["moved"] = _date(occasion.first)
    if occasion.mark:
        said["line"] = lines[occasion.mark.line] + 1
    return said


def _status(household: Household, question: Json) -> Json:
    found = standings(household, _day(question["on"]))
    return _asked(question) | {"are": [_standing(one) for one in found]}


def _standing(one: Standing) -> Json:
    said: Json = {"chore": one.chore.name}
    if one.person is not None:
        said["person"] = one.person
    said |= {"state": one.state, "window": _span(one.first, one.last)}
    if one.state == "overdue":
        said |= {"late": one.days_late, "lateness": round(one.lateness, 4)}
    return said


def _turns(household: Household, question: Json) -> Json:
    timeline = _timeline(household, question)
    low, high = _day(question["from"]), _day(question["to"])
    said = _asked(question) | {"are": []}
    for occasion in history(timeline, household.log, high)[0]:
        window = occasion.window
        if low <= window.first <= high:
            span = (occasion.first, occasion.last)
            who = people_for(timeline, window.routine, window.first, *span)
            said["are"].append([_date(window.first), *who])
    return said


def _minutes(household: Household, question: Json) -> Json:
    learned = learned_minutes(household.log, question["chore"], _day(question["on"]))
    if learned is None:
        return _asked(question) | {"learned": None}
    return _asked(question) | {"learned": learned.minutes, "lines": learned.lines}


def _limits(household: Household, question: Json) -> Json:
    days = range(_day(question["from"]), _day(question["to"]) + 1)
    return _asked(question) | {"are": [limit_of(household, day) for day in days]}


def _overloads(household: Household, question: Json) -> Json:
    low, high = _day(question["from"]), _day(question["to"])
    limits = [limit_of(household, day) for day in range(low, high + 1)]
    found = overloads(list(_demands(household, low, high)), limits, low)
    return _asked(question) | {
        "are": [
            {
                "first": _date(one.first),
                "last": _date(one.last),
                "minutes": one.minutes,
                "limit": one.limit,
                "chores": list(one.chores),
            }
            for one in found
        ]
    }


def _demands(household: Household, low: int, high: int) -> Iterator[Demand]:
    for chore in household.chores.values():
        for timeline in timelines(household, chore):
            for window in timeline.between(low, high):
                minutes = window.routine.minutes
                if minutes and not window.excused:
                    yield Demand(window.first, window.last, minutes, chore.name)


_QUESTIONS: dict[str, Callable[[Household, Json], Json]] = {
    "windows": _windows,
    "matching": _matching,
    "status": _status,
    "turns": _turns,
    "minutes": _minutes,
    "limits": _limits,
    "overloads": _overloads,
}

"""What this reader makes of a conformance case, in the shape that FORMAT.md gives to JSON."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from ledger.calendar.windows import Timeline
from ledger.household.model import Household
from ledger.keeping.history import Share, shares_of, timelines
from ledger.keeping.minutes import learned_minutes
from ledger.keeping.occasion import Occasion
from ledger.keeping.turns import people_for
from ledger.planning.load import Demand, limit_on, overloads, person_limit
from ledger.text.clauses import ChoreLine, NamedDays, SectionHeader
from ledger.text.finding import Severity
from ledger.text.parts import Cadence, Located, MonthDay, Name, Spans
from ledger.text.source import Source
from ledger.text.tree import (
    AbsentLine,
    Declared,
    LimitLine,
    Line,
    RecordEntry,
    RecordItem,
    RecordLine,
    Setting,
    Step,
    Tree,
)
from ledger.text.values import DAYS, LAST, MONTHS, ORDINALS
from ledger.text.writer import write_day_item
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
        case NamedDays():
            said |= _days_named(line.node)
        case LimitLine():
            said |= {"kind": "limit", "who": line.node.who.value} | _value("on", line.node.kind)
            said["minutes"] = line.node.minutes.value
        case AbsentLine():
            said |= _absent(line.node)
        case Step():
            said |= {"kind": "step", "text": line.node.text.value}
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


def _spans(spans: Spans) -> Json:
    if spans.names:
        return _names("days", spans.names)
    return {"spans": [[_date(day.value) for day in span if day] for span in spans.dates]}


def _absent(node: AbsentLine) -> Json:
    said = {"kind": node.keyword} | _spans(node.spans)
    return said | _names("by", node.people) | _value("title", node.title)


def _days_named(node: NamedDays) -> Json:
    said: Json = {"kind": "days", "name": node.name.value}
    said |= _spans(node.spans) if node.spans else {}
    if node.cadence:
        said["cadence"] = _cadence(node.cadence.value)
    said |= _value("within", node.within) | _when("from", node.first) | _when("until", node.last)
    return said | _value("title", node.title)


def _limits_of(node: SectionHeader | ChoreLine) -> Json:
    """The lists of days, the dates and the flags of a line."""
    said: Json = {}
    for key, items in (("during", node.during), ("except", node.excepted)):
        if items:
            said[key] = [write_day_item(item.value) for item in items]
    said |= _when("from", node.first) | _when("until", node.last)
    flags = ("vital", "expires", "spare", "paused")
    return said | {flag: True for flag in flags if getattr(node, flag)}


def _section(node: SectionHeader) -> Json:
    said: Json = {"kind": "section", "cadence": _cadence(node.cadence.value)}
    return said | _value("within", node.within) | _limits_of(node) | _value("title", node.title)


def _cadence(cadence: Cadence) -> Json:
    said: Json = {"kind": cadence.kind.replace("-", " ")}
    if cadence.kind in ("day", "week", "month"):
        said["every"] = cadence.every
    if cadence.times > 1:
        said["times"] = cadence.times
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
        said["by"] = {"form": node.assignment.form} | ({"people": people} if people else {})
    said |= _names("uses", node.things) | _names("after", node.after) | _limits_of(node)
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


def _share(household: Household, question: Json, on: int) -> Share:
    """The share that a question asks about, from its first window on."""
    shares = shares_of(household, household.chores[question["chore"]], 1, on)
    return next(one for one in shares if one.timeline.person == question.get("person"))


def _steps(household: Household, question: Json) -> Json:
    return _asked(question) | {"are": list(household.chores[question["chore"]].steps)}


def _matching(household: Household, question: Json) -> Json:
    share, lines = _share(household, question, _day(question["on"])), household.log.lines
    told = [one for one in share.occasions if one.worked or not (one.is_excused or one.is_gone)]
    return _asked(question) | {
        "windows": [_occasion(one, lines) for one in told],
        "extras": [lines[mark.line] + 1 for mark in share.extras],
    }


def _occasion(one: Occasion, lines: Sequence[int]) -> Json:
    said: Json = {"window": _span(*one.window[:2])}
    if (one.first, one.last) != one.window[:2]:
        said["moved"] = _date(one.first)
    if one.worked:
        said["worked"] = one.worked
    if one.mark:
        said["line"] = lines[one.mark.line] + 1
    return said


def _status(household: Household, question: Json) -> Json:
    on = _day(question["on"])
    shares = (s for chore in household.chores.values() for s in shares_of(household, chore, on, on))
    found = (share.shown or share.standing for share in shares)
    are = [_standing(one) for one in found if one is not None and (one.mark or one.is_asked(on))]
    return _asked(question) | {"are": are}


def _standing(one: Occasion) -> Json:
    said: Json = {"chore": one.chore}
    if one.person is not None:
        said["person"] = one.person
    days = (one.first, one.last)
    if one.mark is not None and one.routine.section.is_after_done:
        days = one.mark.day, one.mark.day
    said |= {"state": one.state, "window": _span(*days)}
    if one.state == "overdue":
        said |= {"late": one.days_late, "lateness": round(one.lateness, 4)}
    return said


def _turns(household: Household, question: Json) -> Json:
    low, high = _day(question["from"]), _day(question["to"])
    share = _share(household, question, high)
    are = [
        [_date(one.opened), *people_for(one)]
        for one in share.occasions
        if low <= one.opened <= high and not one.window.excused
    ]
    return _asked(question) | {"are": are}


def _minutes(household: Household, question: Json) -> Json:
    learned = learned_minutes(household, question["chore"], _day(question["on"]))
    if learned is None:
        return _asked(question) | {"learned": None}
    return _asked(question) | {"learned": learned.minutes, "lines": learned.lines}


def _limit(household: Household, question: Json, day: int) -> int | None:
    person = question.get("person")
    return limit_on(household, day) if person is None else person_limit(household, person, day)


def _limits(household: Household, question: Json) -> Json:
    days = range(_day(question["from"]), _day(question["to"]) + 1)
    return _asked(question) | {"are": [_limit(household, question, day) for day in days]}


def _overloads(household: Household, question: Json) -> Json:
    low, high = _day(question["from"]), _day(question["to"])
    limits = [_limit(household, question, day) for day in range(low, high + 1)]
    demands = list(_demands(household, question.get("person"), low, high))
    return _asked(question) | {
        "are": [
            {
                "first": _date(one.first),
                "last": _date(one.last),
                "minutes": one.minutes,
                "limit": one.limit,
                "chores": list(one.chores),
            }
            for one in overloads(demands, limits, low)
        ]
    }


def _demands(household: Household, person: str | None, low: int, high: int) -> Iterator[Demand]:
    on = max([high, *household.log.dates])
    for chore in household.chores.values():
        for share in shares_of(household, chore, 1, on):
            for one in share.occasions:
                minutes = 0 if one.mark else one.minutes * _times(one, person)
                span = (one.first, one.last) if one.moved else one.timeline.asked_span(one.window)
                if minutes and span and not chore.is_after_done and not one.routine.spare:
                    yield Demand(*span, minutes, chore.name)


def _times(one: Occasion, person: str | None) -> int:
    """How often a window counts for the household, or for a person."""
    people = people_for(one)
    together = one.routine.assignment.form == "together"
    if person is None:
        return len(people) if together else 1
    return int(person in people and (together or len(people) == 1))


_QUESTIONS: dict[str, Callable[[Household, Json], Json]] = {
    "steps": _steps,
    "windows": _windows,
    "matching": _matching,
    "status": _status,
    "turns": _turns,
    "minutes": _minutes,
    "limits": _limits,
    "overloads": _overloads,
}

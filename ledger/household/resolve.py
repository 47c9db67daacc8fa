"""Makes one household of trees: resolves names, refuses repeats and collects findings.

The sound part of a line is used: a chore in an undeclared area still comes up, without the area.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ledger.household.days import DaysReader, dated_spans
from ledger.household.log import Logs
from ledger.household.model import (
    Absence,
    Household,
    Limit,
    LimitOf,
)
from ledger.household.names import Declarations
from ledger.household.routine import RoutineReader
from ledger.text.clauses import NamedDays
from ledger.text.finding import REPEATED_NAME, Finding
from ledger.text.parts import Located
from ledger.text.source import TextRange
from ledger.text.tree import AbsentLine, Declared, LimitLine, Line, Setting, Tree


def resolve(trees: Sequence[Tree], logs: Logs | None = None) -> tuple[Household, list[Finding]]:
    """The household that trees describe together, and all findings on the way.

    The order of the trees decides which of two repeats is used, and the order of sections,
    chores, findings and record lines of one date. `logs` makes the record; if it made an earlier
    one, it takes in only what changed.
    """
    findings = [fault for tree in trees for fault in _faults(tree)]
    nodes = [(tree, line) for tree in trees for line in tree.lines if line.node is not None]
    declared = Declarations(findings)
    days = DaysReader(declared, findings)
    settings: dict[str, tuple[Setting, TextRange]] = {}
    for tree, line in nodes:
        node = line.node
        if isinstance(node, Declared):
            declared.add(node, tree.source, line.number)
        elif isinstance(node, NamedDays):
            days.add(node, tree.source, line.number)
        elif isinstance(node, Setting):
            _set(settings, node, _whole(tree, line), findings)
    days.finish()
    routine = RoutineReader(declared, findings)
    for tree in trees:
        routine.read(tree)
    sections, chores = routine.finish()
    return (
        Household(
            title=_title(settings),
            since=_int(settings, "since"),
            week_start=_int(settings, "week starts") or 0,
            weekend=_weekend(settings),
            day_ends=_int(settings, "day ends") or 0,
            people=declared.people,
            areas=declared.areas,
            named_days=declared.days,
            limits=_limits(nodes, declared, findings),
            absences=_absences(nodes, declared),
            sections=sections,
            chores=chores,
            log=(logs or Logs()).of(trees, declared, chores, findings),
        ),
        findings,
    )


def _faults(tree: Tree) -> Iterator[Finding]:
    """The faults of a file; those of headers tell which chores they silence."""
    for line in tree.lines:
        if line.fault is not None:
            if line.opens:
                from ledger.text.misread import with_silenced

                yield with_silenced(line.fault, tree)
            else:
                yield line.fault


def _whole(tree: Tree, line: Line) -> TextRange:
    """The place of a line, from its first word to its last, without the comment."""
    text = tree.source.lines[line.number]
    end = line.comment.start if line.comment else len(text)
    start = len(text) - len(text.lstrip(" \t"))
    return TextRange(tree.source, line.number, start, len(text[:end].rstrip(" \t")))


def _set(
    settings: dict[str, tuple[Setting, TextRange]],
    node: Setting,
    place: TextRange,
    findings: list[Finding],
) -> None:
    if node.keyword not in settings:
        settings[node.keyword] = node, place
        return
    message = f"`{node.keyword}` is said twice"
    why = "a household has one of it; the first is used and this one is not"
    findings.append(_repeated(place, message, why, settings[node.keyword][1]))


def _repeated(place: TextRange, message: str, why: str, first: TextRange) -> Finding:
    from ledger.text.edits import delete_line

    fix = "delete one of the two lines"
    return REPEATED_NAME.finding(place, message, why, fix, (first,), [delete_line(place)])


def _title(settings: dict[str, tuple[Setting, TextRange]]) -> str | None:
    if "household" not in settings:
        return None
    value = settings["household"][0].value
    return str(value.value) if isinstance(value, Located) else None


def _int(settings: dict[str, tuple[Setting, TextRange]], keyword: str) -> int | None:
    if keyword not in settings:
        return None
    value = settings[keyword][0].value
    return int(value.value) if isinstance(value, Located) else None


def _weekend(settings: dict[str, tuple[Setting, TextRange]]) -> tuple[int, ...]:
    """The days of the weekend in a row, in whatever order the book lists them."""
    if "weekend is" not in settings:
        return (5, 6)
    value = settings["weekend is"][0].value
    days = {5, 6} if isinstance(value, Located) else {day.value for day in value}
    first = next(day for day in days if (day - 1) % 7 not in days)
    return tuple((first + n) % 7 for n in range(len(days)))


def _limits(
    nodes: Iterable[tuple[Tree, Line]], declared: Declarations, findings: list[Finding]
) -> dict[LimitOf, Limit]:
    limits: dict[LimitOf, Limit] = {}
    for tree, line in nodes:
        node = line.node
        if not isinstance(node, LimitLine):
            continue
        of = declared.limited(node, tree.source, line.number)
        if of is None:
            continue
        place = node.who.at(tree.source, line.number)
        if of in limits:
            why = "a day is judged by one limit; the first is used and this one is not"
            who = " ".join(filter(None, of))
            findings.append(_repeated(place, f"a second limit for {who}", why, limits[of].place))
        else:
            limits[of] = Limit(of, node.minutes.value, place)
    return limits


def _absences(nodes: Iterable[tuple[Tree, Line]], declared: Declarations) -> tuple[Absence, ...]:
    absences = []
    for tree, line in nodes:
        node = line.node
        if isinstance(node, AbsentLine):
            source, spans = tree.source, node.spans
            names = declared.known_days(spans.names, source, line.number)
            people = declared.known_people(node.people, source, line.number)
            if (node.people and not people) or (spans.names and not names):
                continue
            title = node.title.value if node.title else ""
            place = _whole(tree, line)
            absences.append(Absence(node.keyword, dated_spans(spans), names, people, title, place))
    return tuple(absences)

"""Chores of one day that come `after` each other.

Why it matters: none of them can be the first, so the list of the day leaves their order as it
stands in the book.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable, Iterator, Mapping

from ledger.household.model import Routine
from ledger.lint.book import LintedBook, dated
from ledger.lint.meeting import asked_days, first_meeting
from ledger.text.edits import delete_name
from ledger.text.finding import Finding, Kind, Severity

RULE = Kind.of(__name__, Severity.ERROR)

BAD = """\
area kitchen

every monday
    mop    10 min  in kitchen  after sweep
                                     ^^^^^
    sweep   5 min  in kitchen  after mop
"""

GOOD = """\
area kitchen

every monday
    mop    10 min  in kitchen  after sweep
    sweep   5 min  in kitchen
"""

Steps = Mapping[str, Mapping[str, Routine]]
"""From each chore to those it comes after, with the line that says so."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each circle, at its first line in the book. Of circles that share a chore, only
    one is reported."""
    steps = _without_ends(_steps(book))
    reported: set[str] = set()
    for name in steps:
        circle = None if name in reported else _circle(steps, name)
        if circle is not None and reported.isdisjoint(circle):
            reported.update(circle)
            yield _finding(book, steps, circle)


def _steps(book: LintedBook) -> Steps:
    """What comes after what on some day of the year ahead, as far as that can be told."""
    steps: dict[str, dict[str, Routine]] = {}
    chores = book.household.chores
    for name, chore in chores.items():
        for routine in chore.routines:
            for other in routine.after:
                if other in chores and book.lasts(routine) and _share_a_day(book, name, other):
                    steps.setdefault(name, {}).setdefault(other, routine)
    return steps


def _without_ends(steps: Steps) -> Steps:
    """The steps that may be part of a circle: those on paths with no beginning and no end."""
    lasting = _lasting(steps)
    back: dict[str, list[str]] = {}
    for name in lasting:
        for other in steps.get(name, ()):
            back.setdefault(other, []).append(name)
    lasting &= _lasting(back)
    return {
        name: {other: line for other, line in others.items() if other in lasting}
        for name, others in steps.items()
        if name in lasting
    }


def _lasting(steps: Mapping[str, Iterable[str]]) -> set[str]:
    """The chores from which some path never ends."""
    left = Counter({name: len({*others}) for name, others in steps.items()})
    back: dict[str, list[str]] = {}
    for name, others in steps.items():
        for other in others:
            back.setdefault(other, []).append(name)
    ended = [name for name in back if not left[name]]
    for name in ended:
        for other in back.get(name, ()):
            left[other] -= 1
            if not left[other]:
                ended.append(other)
    return {name for name, count in left.items() if count > 0}


def _share_a_day(book: LintedBook, one: str, other: str) -> bool:
    chores = book.household.chores
    if one == other or chores[one].is_after_done or chores[other].is_after_done:
        return True
    return first_meeting(asked_days(book, one), asked_days(book, other)) is not None


def _circle(steps: Steps, start: str) -> list[str] | None:
    """The shortest path from a chore back to itself, without its end; None where there is none."""
    before: dict[str, str] = {}
    waiting = deque([start])
    while waiting:
        name = waiting.popleft()
        for other in steps.get(name, ()):
            if other == start:
                path = [name]
                while path[-1] != start:
                    path.append(before[path[-1]])
                return path[::-1]
            if other not in before:
                before[other] = name
                waiting.append(other)
    return None


def _finding(book: LintedBook, steps: Steps, circle: list[str]) -> Finding:
    first, second = circle[0], circle[1 % len(circle)]
    lines = [steps[one][other] for one, other in zip(circle, [*circle[1:], first], strict=True)]
    line = lines[0]
    mark = next(name for name in book.line_of(line).after if name.value == second)
    place = mark.at(line.place.source, line.place.line)
    removal = delete_name(place, f"after {second}")
    chain = "".join(f', which comes after "{name}"' for name in [*circle[2:], first])
    message = f'"{first}" comes after "{second}"' + (chain if len(circle) > 1 else ", itself")
    if len(circle) > 1:
        why = f"{_day(book, first, second)}none of the {len(circle)} can be done before the others"
        fix = f"{removal.words}, or the `after` of another of them"
    else:
        why, fix = "nothing is done before it is begun", removal.words
    return RULE.finding(
        place,
        message,
        why,
        fix,
        tuple(other.name_place for other in lines[1:]),
        [removal],
    )


def _day(book: LintedBook, one: str, other: str) -> str:
    """The first day on which two chores are known to meet, as the beginning of a sentence; empty
    where none is known."""
    met = first_meeting(asked_days(book, one), asked_days(book, other))
    if met is None:
        return ""
    return f"on {dated(max(met[0].first, met[1].first, book.today))} "

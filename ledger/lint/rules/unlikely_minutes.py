"""Minutes of a record line that are over eight hours, or over five times what is usual.

Why it matters: a slip of the pen, 400 for 40, goes into the learned minutes and the sums of the
year. Usual is the median of the nine timed doings before it, once there are five. What was worked
on a doing before counts with it. Up to ten minutes more than that are never a finding.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from ledger.household.record import Log
from ledger.keeping.minutes import TIMED_LINES_NEEDED, TIMED_LINES_USED, worked_before
from ledger.lint.book import LintedBook
from ledger.text.edits import delete
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.parts import Located
from ledger.text.tree import RecordEntry
from ledger.text.words import duration

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

every day
    hob  10 min  in kitchen
2026-02-25 did hob 10 min
2026-02-26 did hob 9 min
2026-02-27 did hob 12 min
2026-02-28 did hob 10 min
2026-03-01 did hob 10 min
2026-03-02 did hob 100 min
                   ^^^^^^^
"""

GOOD = """\
area kitchen

every day
    hob  10 min  in kitchen

2026-02-25 did hob 10 min
2026-02-26 did hob 9 min
2026-02-27 did hob 12 min
2026-02-28 did hob 10 min
2026-03-01 did hob 10 min
2026-03-02 did hob 20 min
"""

LONGEST = 8 * 60
TIMES = 5
SLACK = 10
"""Minutes over the usual that say nothing yet: two minutes easily become eleven."""


class Unlikely(NamedTuple):
    """Such a figure, with the line of its chore it is in and what was usual then."""

    line: int
    minutes: Located[int]
    usual: float | None


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such figure."""
    log = book.household.log
    for name, lines in log.by_chore.items():
        label, find_unlikely = (RULE.name, name), partial(_found, book, name)
        found = book.memory.once(label, find_unlikely, log.story(name), book.behind_work(name))
        for number, minutes, usual in found:
            yield _finding(log, name, lines[number], minutes, usual)


def _found(book: LintedBook, name: str) -> list[Unlikely]:
    log = book.household.log
    positions = log.by_chore[name]
    entries = list(map(log.entries.__getitem__, positions))
    timed: dict[int, list[Located[int]]] = {}
    for key, entry in dict(zip(map(id, entries), entries, strict=True)).items():
        for item in entry.items:
            if item.minutes is not None and item.name.value == name:
                timed.setdefault(key, []).append(item.minutes)
    figures = [minutes.value for some in timed.values() for minutes in some]
    # No median is below the least figure: most chores pass without a look at their lines.
    if not figures or not _is_unlikely(max(figures), min(figures)):
        return []
    first, last = log.dates[positions[0]], log.dates[positions[-1]]
    worked = worked_before(book.household, name, first, last)
    return list(_unlikely(entries, timed, [worked.get(index, 0) for index in positions]))


def _is_unlikely(minutes: int, usual: float | None) -> bool:
    if minutes > LONGEST:
        return True
    return usual is not None and minutes > TIMES * usual and minutes > usual + SLACK


def _unlikely(
    entries: Sequence[RecordEntry],
    timed: Mapping[int, Sequence[Located[int]]],
    worked: Sequence[int],
) -> Iterator[Unlikely]:
    """`worked` has, for each line, the minutes worked before on what it settles."""
    latest: deque[int] = deque()
    ranked: list[int] = []
    for number, entry in enumerate(entries):
        before = worked[number]
        for minutes in timed.get(id(entry), ()):
            usual = None
            if len(ranked) >= TIMED_LINES_NEEDED:
                middle = len(ranked) // 2
                usual = (ranked[middle] + ranked[-middle - 1]) / 2
            if _is_unlikely(minutes.value, usual):
                yield Unlikely(number, minutes, usual)
            if entry.verb != "did":
                continue
            value, before = minutes.value + before, 0
            latest.append(value)
            insort(ranked, value)
            if len(latest) > TIMED_LINES_USED:
                del ranked[bisect_left(ranked, latest.popleft())]


def _finding(
    log: Log, name: str, index: int, minutes: Located[int], usual: float | None
) -> Finding:
    took = duration(minutes.value)
    place = minutes.at(log.sources[log.files[index]], log.lines[index])
    if usual is None:
        message = f'"{name}" took {took}, more than {duration(LONGEST)}'
        fix = "write the minutes it took, or leave them out"
    else:
        message = f'"{name}" took {took}, and {duration(round(usual))} before'
        fix = f"write the minutes it took, such as `{duration(max(1, round(usual)))}`"
    return RULE.finding(
        place,
        message,
        "as it stands it counts in what is learned of the chore and in the sums of its day",
        fix,
        fixes=[delete(place)] if usual is None else (),
    )

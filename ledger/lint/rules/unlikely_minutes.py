"""Minutes of a record line that are over eight hours, or over five times what is usual.

Why it matters: a slip of the pen, 400 for 40, goes into the learned minutes and the sums of the
year. Usual is the median of the nine timed lines before it, once there are five; ten minutes
over it are never found fault with.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import deque
from collections.abc import Iterator

from ledger.household.model import Log
from ledger.lint.book import Book
from ledger.schedule.minutes import TIMED_LINES_NEEDED, TIMED_LINES_USED
from ledger.text.finding import Finding, Severity
from ledger.text.tree import Placed
from ledger.text.writer import duration

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
"""Minutes over the usual that say nothing yet: of two minutes, eleven are soon made."""


def check(book: Book) -> Iterator[Finding]:
    """A finding for each such figure."""
    log = book.household.log
    yield from book.memory.once("unlikely-minutes", lambda: list(_found(log)), log)


def _found(log: Log) -> Iterator[Finding]:
    timed: dict[str, dict[int, list[Placed[int]]]] = {}
    for key, entry in log.kinds.items():
        for item in entry.items:
            if item.minutes is not None:
                timed.setdefault(item.name.value, {}).setdefault(key, []).append(item.minutes)
    for name, kinds in timed.items():
        figures = [minutes.value for some in kinds.values() for minutes in some]
        # A median is no less than the least: most chores are cleared without a look at lines.
        if _is_unlikely(max(figures), min(figures)):
            yield from _of_chore(log, name, kinds)


def _is_unlikely(minutes: int, usual: float | None) -> bool:
    if minutes > LONGEST:
        return True
    return usual is not None and minutes > TIMES * usual and minutes > usual + SLACK


def _of_chore(log: Log, name: str, kinds: dict[int, list[Placed[int]]]) -> Iterator[Finding]:
    latest: deque[int] = deque()
    ranked: list[int] = []
    entries = log.entries
    for index in log.by_chore[name]:
        for minutes in kinds.get(id(entries[index]), ()):
            value = minutes.value
            usual = None
            if len(ranked) >= TIMED_LINES_NEEDED:
                middle = len(ranked) // 2
                usual = (ranked[middle] + ranked[-middle - 1]) / 2
            if _is_unlikely(value, usual):
                yield _finding(log, name, index, minutes, usual)
            latest.append(value)
            insort(ranked, value)
            if len(latest) > TIMED_LINES_USED:
                del ranked[bisect_left(ranked, latest.popleft())]


def _finding(log: Log, name: str, index: int, minutes: Placed[int], usual: float | None) -> Finding:
    took = duration(minutes.value)
    place = minutes.at(log.sources[log.files[index]], log.lines[index])
    if usual is None:
        message = f'"{name}" took {took}, more than {duration(LONGEST)}'
        fix = "write the minutes it took, or leave them out"
    else:
        message = f'"{name}" took {took}, and {duration(round(usual))} before'
        fix = f"write the minutes it took, such as `{duration(max(1, round(usual)))}`"
    return Finding(
        "unlikely-minutes",
        Severity.WARNING,
        place,
        message,
        "as it stands it counts in what is learned of the chore and in the sums of its day",
        fix,
    )

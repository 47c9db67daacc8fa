"""A chore whose sections come round on the same days.

Why it matters: one doing would settle both or leave one standing; the book cannot mean both.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence

from ledger.calendar.absence import Span
from ledger.calendar.windows import Timeline
from ledger.household.model import Chore, Routine
from ledger.lint.book import YEAR_AHEAD, LintedBook, days_from
from ledger.lint.meeting import first_met
from ledger.text.cadences import write_cadence
from ledger.text.finding import Finding, Kind, Severity

RULE = Kind.of(__name__, Severity.ERROR)

BAD = """\
area kitchen
every weekend
    oven  40 min  in kitchen
weekend 1
    oven  40 min  in kitchen
    ^^^^
"""

GOOD = """\
area kitchen
weekend 2, 3, 4, 5
    oven  40 min  in kitchen
weekend 1
    oven  40 min  in kitchen
"""


MANY = 30
"""Lines of a chore of which not every pair is told any more."""

Meetings = Mapping[tuple[int, int], Sequence[Span]]
"""Pairs of a chore's lines by their numbers, and the days on which they meet."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each pair of a chore's lines whose windows meet in the year ahead; of a chore
    with many lines for each of them and the first that it meets."""
    for chore in book.household.chores.values():
        if len(chore.routines) < 2:
            continue
        if len(chore.routines) > MANY:
            found = _first_meetings(book, chore)
        else:
            found = _meetings(book, chore, range(len(chore.routines)))
        for (first, second), spans in found.items():
            yield _finding(chore, chore.routines[first], chore.routines[second], spans)


def _meetings(book: LintedBook, chore: Chore, numbers: Sequence[int]) -> Meetings:
    """How some lines of a chore meet."""
    lines = tuple(chore.routines[number] for number in numbers)
    number_of = {id(line): number for line, number in zip(lines, numbers, strict=True)}
    found: dict[tuple[int, int], list[Span]] = {}
    timeline = Timeline(book.household, chore._replace(routines=lines))
    for one, other in timeline.overlaps(book.today, book.today + YEAR_AHEAD):
        pair = sorted((number_of[id(one.routine)], number_of[id(other.routine)]))
        span = max(one.first, other.first), min(one.last, other.last)
        found.setdefault((pair[0], pair[1]), []).append(span)
    return found


def _first_meetings(book: LintedBook, chore: Chore) -> Meetings:
    """How each line of a chore meets the first of those above it that it meets. Of lines that
    fall alike the first stands for all: what it meets, they meet."""
    kinds: dict[Hashable, list[int]] = {}
    for number, line in enumerate(chore.routines):
        kinds.setdefault(line.falls, []).append(number)
    met = _met_first(book, chore, [numbers[0] for numbers in kinds.values()])
    found: dict[tuple[int, int], Sequence[Span]] = {}
    for numbers in kinds.values():
        above = met.get(numbers[0])
        first, *others = numbers if above is None else [above, *numbers]
        spans = _meetings(book, chore, [first, others[0]]) if others else {}
        for other in others if spans else ():
            found[first, other] = spans[first, others[0]]
    return found


def _met_first(book: LintedBook, chore: Chore, numbers: Sequence[int]) -> dict[int, int]:
    """For each of some lines that meets one above it, which is the first of these."""
    lines = tuple(chore.routines[number] for number in numbers)
    number_of = {id(line): number for line, number in zip(lines, numbers, strict=True)}
    timeline = Timeline(book.household, chore._replace(routines=lines))
    windows = timeline.uncut(book.today, book.today + YEAR_AHEAD)
    windows.sort(key=lambda window: number_of[id(window.routine)])
    met: dict[int, int] = {}
    for later, earlier in first_met([window[:2] for window in windows]).items():
        first, second = (number_of[id(windows[place].routine)] for place in (earlier, later))
        met[second] = min(first, met.get(second, first))
    return met


def _finding(chore: Chore, first: Routine, second: Routine, spans: Sequence[Span]) -> Finding:
    one, other = write_cadence(first.section.cadence), write_cadence(second.section.cadence)
    times = "once" if len(spans) == 1 else f"{len(spans)} times"
    return RULE.finding(
        second.name_place,
        f'"{chore.name}" stands under `{one}` and `{other}`, which meet',
        f"they meet {times} in the year ahead, first on {days_from(*spans[0])}; the chore then "
        "counts once, and nobody can tell for which",
        "keep one of the two lines, or part them with `until` and `from`",
        (first.name_place,),
    )

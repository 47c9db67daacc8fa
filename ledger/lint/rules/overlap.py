"""A chore whose sections come round on the same days.

Why it matters: doing it once would settle both or leave one open; the book cannot mean both.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence

from ledger.calendar.windows import Timeline
from ledger.household.model import Chore, Routine, Span
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
"""If a chore has more lines than this, not every pair is reported."""

Meetings = Mapping[tuple[int, int], Sequence[Span]]
"""Pairs of a chore's lines by their numbers, and the days on which they meet."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each pair of a chore's lines whose windows meet in the year ahead. If it has
    many lines, only for each line and the first one above that it meets."""
    for chore in book.household.chores.values():
        if len(chore.routines) < 2:
            continue
        if len(chore.routines) > MANY:
            pairs = _first_meetings(book, chore)
        else:
            pairs = _meetings(book, chore, range(len(chore.routines)))
        for (first, second), spans in pairs.items():
            yield _finding(chore, chore.routines[first], chore.routines[second], spans)


def _meetings(book: LintedBook, chore: Chore, numbers: Sequence[int]) -> Meetings:
    """The meetings among some lines of a chore."""
    lines = tuple(chore.routines[number] for number in numbers)
    number_of = {id(line): number for line, number in zip(lines, numbers, strict=True)}
    meetings: dict[tuple[int, int], list[Span]] = {}
    timeline = Timeline(book.household, chore._replace(routines=lines))
    for one, other in timeline.overlaps(book.today, book.today + YEAR_AHEAD):
        pair = sorted((number_of[id(one.routine)], number_of[id(other.routine)]))
        span = max(one.first, other.first), min(one.last, other.last)
        meetings.setdefault((pair[0], pair[1]), []).append(span)
    return meetings


def _first_meetings(book: LintedBook, chore: Chore) -> Meetings:
    """The meetings of each line of a chore with the first line above that it meets. Lines that fall
    on the same days meet the same lines, so only the first of them is looked at."""
    kinds: dict[Hashable, list[int]] = {}
    for number, line in enumerate(chore.routines):
        kinds.setdefault(line.falls, []).append(number)
    first_of = _met_first(book, chore, [numbers[0] for numbers in kinds.values()])
    meetings: dict[tuple[int, int], Sequence[Span]] = {}
    for numbers in kinds.values():
        above = first_of.get(numbers[0])
        first, *others = numbers if above is None else [above, *numbers]
        spans = _meetings(book, chore, [first, others[0]]) if others else {}
        for other in others if spans else ():
            meetings[first, other] = spans[first, others[0]]
    return meetings


def _met_first(book: LintedBook, chore: Chore, numbers: Sequence[int]) -> dict[int, int]:
    """For each of some lines that meets a line above it, the first line that it meets."""
    lines = tuple(chore.routines[number] for number in numbers)
    number_of = {id(line): number for line, number in zip(lines, numbers, strict=True)}
    timeline = Timeline(book.household, chore._replace(routines=lines))
    windows = timeline.uncut(book.today, book.today + YEAR_AHEAD)
    windows.sort(key=lambda window: number_of[id(window.routine)])
    first_of: dict[int, int] = {}
    for later, earlier in first_met([window[:2] for window in windows]).items():
        first, second = (number_of[id(windows[place].routine)] for place in (earlier, later))
        first_of[second] = min(first, first_of.get(second, first))
    return first_of


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

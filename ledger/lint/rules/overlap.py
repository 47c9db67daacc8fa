"""A chore whose sections come round on the same days.

Why it matters: one doing would settle both or leave one standing; the book cannot mean both.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Chore, Routine
from ledger.lint.book import YEAR_AHEAD, Book, days_from
from ledger.schedule.windows import Timeline
from ledger.text.finding import Finding, Severity
from ledger.text.writer import write_cadence

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


def check(book: Book) -> Iterator[Finding]:
    """A finding for each pair of a chore's lines whose windows meet in the year ahead."""
    for chore in book.household.chores.values():
        if len(chore.routines) < 2:
            continue
        meetings: dict[tuple[int, int], list[tuple[int, int]]] = {}
        timeline = Timeline(book.household, chore, book.today)
        for one, other in timeline.overlaps(book.today, book.today + YEAR_AHEAD):
            lines = sorted((chore.routines.index(one.routine), chore.routines.index(other.routine)))
            span = max(one.first, other.first), min(one.last, other.last)
            meetings.setdefault((lines[0], lines[1]), []).append(span)
        for (first, second), spans in meetings.items():
            yield _finding(chore, chore.routines[first], chore.routines[second], spans)


def _finding(
    chore: Chore, first: Routine, second: Routine, spans: list[tuple[int, int]]
) -> Finding:
    one, other = write_cadence(first.section.cadence), write_cadence(second.section.cadence)
    times = "once" if len(spans) == 1 else f"{len(spans)} times"
    return Finding(
        "overlap",
        Severity.ERROR,
        second.name_place,
        f'"{chore.name}" stands under `{one}` and `{other}`, which meet',
        f"they meet {times} in the year ahead, first on {days_from(*spans[0])}; the chore then "
        "counts once, and nobody can tell for which",
        "keep one of the two lines, or part them with `until` and `from`",
        (first.name_place,),
    )

"""Two lines of days away that share days, for the same people.

Why it matters: the days they share count once, so one of the two was likely meant for others,
on which the book takes everyone to be at home.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Absence
from ledger.lint.book import Book, days_from, iso
from ledger.lint.meeting import first_met
from ledger.text.finding import Finding, Severity

BAD = """\
area kitchen
away 2026-07-04 to 2026-07-18 "Grandparents"
away 2026-07-18 to 2026-07-20 "By the sea"
^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^

every monday
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
away 2026-07-04 to 2026-07-18 "Grandparents"
away 2026-07-19 to 2026-07-20 "By the sea"

every monday
    oven  40 min  in kitchen
"""


def check(book: Book) -> Iterator[Finding]:
    """A finding for each line of days away that meets an earlier one of the same people."""
    absences = book.household.absences
    of_each: dict[str | None, list[int]] = {}
    for number, absence in enumerate(absences):
        for who in absence.people or (None,):
            of_each.setdefault(who, []).append(number)
    met: dict[int, int] = {}
    for numbers in of_each.values():
        spans = [(absences[number].first, absences[number].last) for number in numbers]
        for later, earlier in first_met(spans).items():
            number = numbers[later]
            met[number] = min(numbers[earlier], met.get(number, number))
    for number in sorted(met):
        yield _finding(absences[met[number]], absences[number])


def _finding(earlier: Absence, later: Absence) -> Finding:
    shared = days_from(max(earlier.first, later.first), min(earlier.last, later.last))
    twice = [person for person in later.people if person in earlier.people]
    who = ", ".join(twice) if twice else "the household"
    first, last = min(earlier.first, later.first), max(earlier.last, later.last)
    return Finding(
        "away-twice",
        Severity.WARNING,
        later.place,
        f"{who} {'are' if len(twice) > 1 else 'is'} away by two lines on {shared}",
        "a day away counts once; if one of the two was meant for other days, what is due on "
        "those is still asked for",
        f"mend the dates, or write one line `away {iso(first)} to {iso(last)}` for both",
        (earlier.place,),
    )

"""A person whose own chores need more minutes in a day than is fair to ask of them.

Why it matters: what nobody else may take over stays undone, or is done late and tired. Only
what is surely theirs counts: `by` one person, their share of `each`, their turns of `then`;
spans of several days are judged by their limits together, as for a household.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from ledger.calendar.absence import Span, away_spans, is_away
from ledger.keeping.turns import person_at
from ledger.lint.book import ChoreAhead, LintedBook
from ledger.lint.overload import overload_words
from ledger.planning.load import Demand
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.words import duration

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
person noor
person edie
area kitchen
limit edie 15 min
^^^^^^^^^^

every monday
    oven  40 min  in kitchen  by edie
    sink   5 min  in kitchen  by noor
"""

GOOD = """\
person noor
person edie
area kitchen
limit edie 15 min

every monday
    oven  40 min  in kitchen  by noor or edie
    sink   5 min  in kitchen  by noor
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each person with a limit and each kind of span that does not fit it."""
    household = book.household
    people = [person for person in household.people if person in household.limits]
    if not people:
        return
    theirs: dict[str, list[Demand]] = {person: [] for person in people}
    away = {person: away_spans(household, person) for person in household.people}
    for name, shares in book.ahead.items():
        for share in shares:
            demands_of = partial(_demands, name, share, away)
            key = "demands of people", name, share.timeline.person
            for person, demand in book.memory.once(key, demands_of, share.windows, book.calendar):
                if person in theirs:
                    theirs[person].append(demand)
    for person, demands in theirs.items():
        limit = household.limits[person]
        of_days = partial(_limits, book, limit.minutes, away[person])
        limits = book.memory.once(("limits", person), of_days, limit.minutes, book.calendar)
        find_words = partial(
            overload_words, book, demands, limits, (f"asks {person}", f"ask {person}")
        )
        label = RULE.name, person
        for words in book.memory.once(label, find_words, demands, limits, book.today):
            yield RULE.finding(
                limit.place._replace(start=0),
                words.message,
                words.why,
                f"give {words.excess} of it to others with `or` or `then`, or move it to other "
                f"days, or raise the limit of {duration(limit.minutes)}",
            )


def _limits(book: LintedBook, minutes: int, away: Sequence[Span]) -> list[int]:
    """The limits of a person on the days ahead."""
    return [0 if is_away(day, away) else minutes for day in book.days_ahead]


def _demands(
    name: str, share: ChoreAhead, away: Mapping[str, Sequence[Span]]
) -> list[tuple[str, Demand]]:
    """The windows that are surely one person's, with that person."""
    timeline, windows = share
    demands: list[tuple[str, Demand]] = []
    turn: int | None = None
    for index, window in enumerate(windows):
        assignment = window.routine.assignment
        person = timeline.person
        if person is None and assignment.form == "then":
            if turn is None:
                # Each window of the chore is a turn, excused ones too: only the first is counted.
                turn = timeline.count_before(window.first) - index
            person = assignment.people[(turn + index) % len(assignment.people)]
            if is_away(window.first, away[person]):
                days = window.first, window.last
                person = person_at(timeline.household, assignment.people, turn + index, *days)
        elif person is None and len(assignment.people) == 1:
            (person,) = assignment.people
        if person is not None and window.routine.minutes and not window.excused:
            demand = Demand(window.first, window.last, window.routine.minutes, name)
            demands.append((person, demand))
    return demands

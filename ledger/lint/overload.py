"""Overload: spans of days with more minutes than fit them, and what to say about them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import chain
from typing import NamedTuple

from ledger.calendar.week import MAX_DAY, year_on
from ledger.household.model import Chore, Limit
from ledger.lint.book import LintedBook, days_from
from ledger.planning.demands import demands_of
from ledger.planning.load import (
    Demand,
    Overload,
    limit_at,
    limit_on,
    limited_people,
    overloads,
    person_limit,
)
from ledger.text.words import duration, listed


class Overloads(NamedTuple):
    """The spans of the days ahead that do not fit, with all that is demanded of these days."""

    spans: Sequence[Overload]
    demands: Sequence[Demand]


class OverloadWords(NamedTuple):
    """What one finding says about spans, by the worst of them."""

    worst: Overload
    message: str
    why: str
    excess: str
    """By how much the worst is over."""


OPEN_DAYS_BELIEVED = 28
"""So many days ahead, an absence without an end is believed to last."""


def of_household(book: LintedBook) -> Overloads:
    """The spans whose windows do not fit the limits of their days."""
    return _overloads(book, None, _demands(book), partial(limit_on, book.household))


def of_people(book: LintedBook) -> Mapping[str, Overloads]:
    """For each person with a limit, the spans that it does not fit. Only windows that are surely
    theirs count."""
    household = book.household
    theirs: dict[str, list[Demand]] = {name: [] for name in limited_people(household)}
    for demand in _demands(book) if theirs else ():
        for name, minutes in demand.own:
            theirs[name].append(demand._replace(minutes=minutes, own=()))
    return {
        person: _overloads(book, person, demands, partial(person_limit, household, person))
        for person, demands in theirs.items()
    }


def _demands(book: LintedBook) -> list[Demand]:
    """What all chores ask of the days ahead, in the order of the book."""
    household, limited = book.household, limited_people(book.household)
    found: list[Demand] = []
    for name, chore in household.chores.items():
        make, story = partial(_of_chore, book, chore), household.log.story(name)
        found += book.memory.once(("demands", name), make, chore, story, book.calendar, limited)
    return found


def _of_chore(book: LintedBook, chore: Chore) -> list[Demand]:
    found = demands_of(book.household, chore, book.today, year_on(book.today))
    return [demand for _, demand in found]


def limit_in(book: LintedBook, span: Overload, *people: str | None) -> Limit:
    """The limit of the first day of a span that has one: of the first of some people with one;
    None is the household."""
    household, days = book.household, range(span.first, span.last + 1)
    of_days = (limit_at(household, person, day) for person in people for day in days)
    others = (limit for of, limit in household.limits.items() if of.person in people)
    return next(limit for limit in chain(of_days, others) if limit is not None)


def told(book: LintedBook, found: Overloads) -> Sequence[Overload]:
    """The spans that a finding counts.

    Those are left out that touch an absence without an end more than 28 days ahead: an illness
    whose end nobody has written yet is not taken to last a year.
    """
    opens = [
        first
        for absence in book.household.absences
        for first, last in absence.spans
        if last == MAX_DAY
    ]
    doubtful = max(min(opens), book.today + OPEN_DAYS_BELIEVED + 1) if opens else MAX_DAY + 1
    return [span for span in found.spans if span.last < doubtful]


def _overloads(
    book: LintedBook,
    person: str | None,
    demands: Sequence[Demand],
    limit: Callable[[int], int | None],
) -> Overloads:
    declared = [(*one.of, one.minutes) for one in book.household.limits.values()]
    make = partial(_on_each, limit, range(book.today, year_on(book.today) + 1))
    limits = book.memory.once(("limits", person), make, declared, book.calendar)
    find = partial(overloads, demands, limits, book.today)
    spans = book.memory.once(("overloads", person), find, demands, limits, book.today)
    return Overloads(spans, demands)


def _on_each(limit: Callable[[int], int | None], days: Sequence[int]) -> list[int | None]:
    return list(map(limit, days))


def worst_words(
    spans: Sequence[Overload], demands: Sequence[Demand], person: str | None
) -> OverloadWords:
    """What to say of spans that do not fit a person, or for None the household, by the worst of
    them; of several as bad, by the first."""
    worst = min(spans, key=lambda span: span.limit - span.minutes)
    excess = duration(worst.minutes - worst.limit)
    verb = "asks" if worst.first == worst.last else "ask"
    message = (
        f"{days_from(worst.first, worst.last)} {f'{verb} {person}' if person else verb} for "
        f"{duration(worst.minutes)}, of {duration(worst.limit)}"
    )
    if len(spans) > 1:
        message += f"; {len(spans) - 1} more like it in the year ahead"
    shares: dict[str, int] = {}
    for demand in demands:
        if worst.first <= demand.first and demand.last <= worst.last:
            shares[demand.label] = shares.get(demand.label, 0) + demand.minutes
    heaviest = sorted(shares, key=lambda name: -shares[name])
    parts = listed([f"{name} {duration(shares[name])}" for name in heaviest], 5)
    return OverloadWords(
        worst, message, f"{excess} will be left undone; the longest are {parts}", excess
    )

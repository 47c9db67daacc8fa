"""Overload: spans of days with more minutes than fit them, and what to say about them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from itertools import chain
from typing import NamedTuple

from ledger.calendar.week import MAX_DAY
from ledger.calendar.windows import Timeline, Window
from ledger.household.model import Limit, Routine
from ledger.keeping.turns import person_at
from ledger.lint.book import ChoreAhead, LintedBook, days_from
from ledger.planning.load import Demand, Overload, limit_at, limit_on, overloads, person_limit
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
    demands: list[Demand] = []
    for name, shares in book.ahead.items():
        for share in shares:
            make, label = partial(_of_all, share), ("demands", name, share.timeline.person)
            demands += book.memory.once(label, make, share.windows, book.calendar)
    return _overloads(book, None, demands, partial(limit_on, book.household))


def of_people(book: LintedBook) -> Mapping[str, Overloads]:
    """For each person with a limit, the spans that it does not fit. Only windows that are surely
    theirs count."""
    household = book.household
    with_limit = {limit.person for limit in household.limits}
    theirs: dict[str, list[Demand]] = {one: [] for one in household.people if one in with_limit}
    for name, shares in book.ahead.items() if theirs else ():
        for share in shares:
            if share.timeline.person is None and all(
                map(_is_for_several, share.timeline.chore.routines)
            ):
                continue
            make, label = partial(_of_one, share), ("own demands", name, share.timeline.person)
            for person, demand in book.memory.once(label, make, share.windows, book.calendar):
                if person in theirs:
                    theirs[person].append(demand)
    return {
        person: _overloads(book, person, demands, partial(person_limit, household, person))
        for person, demands in theirs.items()
    }


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
    make = partial(_on_each, limit, book.days_ahead)
    limits = book.memory.once(("limits", person), make, declared, book.calendar)
    find = partial(overloads, demands, limits, book.today)
    spans = book.memory.once(("overloads", person), find, demands, limits, book.today)
    return Overloads(spans, demands)


def _on_each(limit: Callable[[int], int | None], days: Sequence[int]) -> list[int | None]:
    return list(map(limit, days))


def _is_for_several(line: Routine) -> bool:
    """True for a line that any of several people may do."""
    form, people = line.assignment
    return form == "any" and len(people) != 1


def _of_all(share: ChoreAhead) -> list[Demand]:
    timeline, windows = share
    lines = timeline.chore.routines
    people = {id(line): 1 if timeline.person else line.shares for line in lines if _counts(line)}
    return [
        _demand(timeline, window, people[id(window.routine)])
        for window in windows
        if id(window.routine) in people and not window.excused
    ]


def _of_one(share: ChoreAhead) -> list[tuple[str, Demand]]:
    """The windows that are surely one person's, or each of several people's, with the person."""
    timeline, windows = share
    return [
        (person, _demand(timeline, window))
        for window, people in zip(windows, _doers(timeline, windows), strict=True)
        if people and _counts(window.routine) and not window.excused
        for person in people
    ]


def _counts(line: Routine) -> bool:
    return bool(line.minutes) and not line.spare


def _demand(timeline: Timeline, window: Window, people: int = 1) -> Demand:
    """The demand of a window, from the first to the last day on which it is asked."""
    first, last, routine = window[:3]
    if first != last:
        asked = timeline.line_of(routine).asked
        first, last = asked.first(first, last) or first, asked.last(first, last) or last
    return Demand(first, last, (routine.minutes or 0) * people, timeline.chore.name)


def _doers(timeline: Timeline, windows: Sequence[Window]) -> Iterator[tuple[str, ...]]:
    """For each window, the people who surely do it; none where anyone of several may."""
    turn: int | None = None
    for index, window in enumerate(windows):
        form, people = window.routine.assignment
        if timeline.person is not None:
            yield (timeline.person,)
        elif form == "then":
            if turn is None:
                # Each window of the chore is a turn, excused ones too: only the first is counted.
                turn = timeline.count_before(window.first) - index
            yield (person_at(timeline.household, people, turn + index, *window[:2]),)
        else:
            yield () if _is_for_several(window.routine) else people


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

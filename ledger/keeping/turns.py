"""Turns: who does a chore in a window."""

from __future__ import annotations

from ledger.calendar.absence import at_home, away_spans
from ledger.calendar.windows import Timeline
from ledger.household.model import Household, Routine
from ledger.keeping.matching import RecordReference, marks_of


def people_for(
    timeline: Timeline, routine: Routine, opened: int, first: int, last: int
) -> tuple[str, ...]:
    """The people of whom one does the window, for a share its one person; empty means anyone.

    `opened` is the window's first day before any move; `first` and `last` are the days it is to
    be done on. Turns count the chore's windows from its start, `a then b then a`; a person who
    is away on all days of the window is passed over for the next in the order.
    """
    if timeline.person is not None:
        return (timeline.person,)
    assignment = routine.assignment
    people = assignment.people
    if assignment.form != "then":
        return people
    turn = _turns_before(timeline, routine, opened)
    return (person_at(timeline.household, people, turn, first, last),)


def person_at(
    household: Household, people: tuple[str, ...], turn: int, first: int, last: int
) -> str:
    """Whose turn it is, counted from 0, in a window from `first` to `last`."""
    for offset in range(len(people)):
        person = people[(turn + offset) % len(people)]
        if at_home(first, last, away_spans(household, person)) is not None:
            return person
    return people[turn % len(people)]


def _turns_before(timeline: Timeline, routine: Routine, first: int) -> int:
    if routine.section.is_after_done:
        log = timeline.household.log
        marks = marks_of(log, timeline.chore.name, None, high=first - 1)
        return sum(mark.to is None for mark in marks)
    return timeline.count_before(first)


def done_by(timeline: Timeline, mark: RecordReference | None) -> tuple[str, ...]:
    """Who did a window, by the line that settled it; for a share, the person whose it is."""
    if mark is None or mark.verb != "did":
        return ()
    if timeline.person is not None:
        return (timeline.person,)
    return tuple(person.value for person in timeline.household.log.entries[mark.line].people)

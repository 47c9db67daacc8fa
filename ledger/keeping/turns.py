"""Turns: who does a chore in a window."""

from __future__ import annotations

from ledger.calendar.presence import there
from ledger.household.model import Household
from ledger.keeping.occasion import Occasion
from ledger.keeping.record_lines import lines_of


def people_for(one: Occasion) -> tuple[str, ...]:
    """The people of whom one does the window (all of them where they do it together), for a share
    its one person; empty means anyone.

    Turns count the chore's windows from its start, `a then b then a`; a person who is away or rests
    on all days of a window is passed over for the next in the order. The days are those that the
    calendar gives: a move changes nobody's turn.
    """
    if one.person is not None:
        return (one.person,)
    form, people = one.routine.assignment
    if form != "then":
        return people
    household, (first, last) = one.timeline.household, one.window[:2]
    return (person_at(household, people, _turns_before(one), first, last),)


def person_at(
    household: Household, people: tuple[str, ...], turn: int, first: int, last: int
) -> str:
    """Whose turn it is, counted from 0, in a window from `first` to `last`."""
    for offset in range(len(people)):
        person = people[(turn + offset) % len(people)]
        if there(household, person).first(first, last) is not None:
            return person
    return people[turn % len(people)]


def _turns_before(one: Occasion) -> int:
    if one.routine.section.is_after_done:
        log, first = one.timeline.household.log, one.opened
        # A line that settles a window early is not one of those before it, nor is one that is dated
        # after the day asked.
        last = first - 1 if one.mark is None else min(first, one.mark.day) - 1
        lines = lines_of(log, one.chore, None, min(last, one.on))
        return sum(line.verb in ("did", "skipped") for line in lines)
    return one.timeline.count_before(one.opened)


def done_by(one: Occasion) -> tuple[str, ...]:
    """Who did a window, by the line that settled it; for a share, the person whose it is."""
    if one.mark is None or one.mark.verb != "did":
        return ()
    return one.mark.people if one.person is None else (one.person,)


def took(one: Occasion) -> int:
    """The minutes that a window took, of all its people together: what was worked on it and what
    the line that settled it says, else as the book says; 0 unless it is done."""
    if one.mark is None or one.mark.verb != "did":
        return 0
    timed = one.timeline.household.log.minutes(one.mark.line, one.chore)
    each = timed[0] + one.worked if timed else one.routine.minutes or one.worked
    if one.person is not None:
        return each
    helpers = one.mark.people or (
        people_for(one) if one.routine.assignment.form == "together" else ()
    )
    return each * max(1, len(helpers))

"""Presence: who is away, who rests, and on which days a line of the routine is asked."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.calendar.day_lists import force_of, named
from ledger.calendar.day_set import DaySet, all_of, any_of, of_spans
from ledger.household.model import Absence, Household, Routine


def away(household: Household, person: str | None = None) -> DaySet:
    """The days away of the whole household, and of a person if given."""
    return _absent(household, "away", person)


def resting(household: Household, person: str | None = None) -> DaySet:
    """The days of rest of the whole household, and of a person if given."""
    return _absent(household, "rest", person)


def there(household: Household, person: str | None, vital: bool = False) -> DaySet:
    """The days on which a person, or for None the household, can do a chore."""
    return household.remember(
        ("there", person, vital),
        lambda: (
            ~(
                away(household, person)
                if vital
                else away(household, person) | resting(household, person)
            )
        ),
    )


def someone_there(household: Household, routine: Routine, person: str | None) -> DaySet:
    """The days on which those are there who can do a line, or a person's share of it."""
    form, people = routine.assignment
    if person is not None:
        people = (person,)
    elif not people:
        people = tuple(household.people)
    together = form == "together" and person is None
    key = "someone there", people, together, routine.vital

    def work_out() -> DaySet:
        if not people:
            return there(household, None, routine.vital)
        sets = (there(household, one, routine.vital) for one in people)
        return all_of(sets) if together else any_of(sets)

    return household.remember(key, work_out)


def asked(household: Household, routine: Routine, person: str | None) -> DaySet:
    """The days on which a line, or a person's share of it, is asked."""
    force, present = force_of(household, routine), someone_there(household, routine, person)
    # The one is remembered for the other: each object keeps the blocks that it has worked out.
    return household.remember((force, present), lambda: force & present)


def is_away(household: Household, day: int, person: str | None = None) -> bool:
    """True on a day away of the whole household, or of a person if given."""
    return away(household, person).holds(day)


def absence_title(
    household: Household, keyword: str, day: int, person: str | None = None
) -> str | None:
    """Why the household, or a person if given, is away (or rests) on a day: "" if the book does not
    say, None if neither is."""
    lines = _lines(household, keyword, person)
    return next((one.title for one in lines if days_absent(household, one).holds(day)), None)


def days_absent(household: Household, absence: Absence) -> DaySet:
    """The days of one line of the book."""
    return household.remember(
        ("absence", absence.spans, absence.names),
        lambda: of_spans(absence.spans) | named(household, absence.names),
    )


def _absent(household: Household, keyword: str, person: str | None) -> DaySet:
    def work_out() -> DaySet:
        # One set for all lines together: a book may have many.
        lines = tuple(_lines(household, keyword, person))
        spans = of_spans(span for line in lines for span in line.spans)
        return spans | named(household, (name for line in lines for name in line.names))

    return household.remember((keyword, person), work_out)


def _lines(household: Household, keyword: str, person: str | None) -> Iterable[Absence]:
    return (
        one
        for one in household.absences
        if one.keyword == keyword and (not one.people or person in one.people)
    )

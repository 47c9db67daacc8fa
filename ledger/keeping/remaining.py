"""Remaining: the windows still to be done from a day on, by the calendar and the record."""

from __future__ import annotations

from ledger.household.model import Household
from ledger.keeping.history import shares_of
from ledger.keeping.occasion import Occasion


def remaining_windows(household: Household, low: int, high: int) -> list[Occasion]:
    """The windows that close from day `low` to `high`, and what is overdue on `low`, in the
    order of the book and then of their days; by a record known up to `low`.

    Windows settled before their days are left out, and so are excused and missed ones. Each
    window of an `after done` line is taken as done on its first day, or on `low` if overdue.
    """
    return [
        one
        for chore in household.chores.values()
        for share in shares_of(household, chore, low, low)
        for one in share.to_do(high)
        if one.last <= high
    ]

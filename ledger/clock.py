"""The clock: what day it is in a household."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from ledger.household.model import Household


def today_of(household: Household) -> date:
    """The local date, or the day before until the clock shows the hour at which that day ends.

    In a night in which the clock is set back it shows the hour twice: a day ends at the first of
    the two (as RFC 5545, section 3.3.5, takes a time that comes twice), and is then over. Where
    the clock is set forward beyond the hour, the day ends as that is done.
    """
    now = datetime.now()
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0, fold=0)
    ends = midnight + timedelta(minutes=household.day_ends)
    is_over = ends <= now or (now.fold and ends.timestamp() <= now.timestamp())
    return now.date() if is_over else now.date() - timedelta(days=1)

"""The clock: what day it is in a household."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

from ledger.household.model import Household


def today_of(household: Household) -> date:
    """The local date; before the hour at which the household's day ends, the date before.

    When the clock is set back, it may show that hour twice. The day ends at the first of the two
    (RFC 5545, section 3.3.5, takes the first too). When the clock is set forward past that hour,
    the day ends at that moment.
    """
    now = datetime.now()
    midnight = now.replace(hour=0, minute=0, second=0, microsecond=0, fold=0)
    ends = midnight + timedelta(minutes=household.day_ends)
    is_over = ends <= now or (now.fold and ends.timestamp() <= now.timestamp())
    return now.date() if is_over else now.date() - timedelta(days=1)


def moment() -> datetime:
    """This moment, in UTC and whole seconds."""
    return datetime.now().astimezone(UTC).replace(microsecond=0)

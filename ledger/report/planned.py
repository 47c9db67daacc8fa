"""Planned: what the plan of a day chooses for the windows still to be done."""

from __future__ import annotations

from ledger.household.model import Household
from ledger.keeping.occasion import Occasion
from ledger.planning.plan import key_of, plan_of, proposals
from ledger.report.task import UNPLANNED, Chosen


class Choosing:
    """The choices of the plan of a day."""

    def __init__(self, household: Household, on: int) -> None:
        self._days, self._people = plan_of(household, on).days, proposals(household, on)

    def of(self, one: Occasion) -> Chosen:
        """The day of a window and whom the plan proposes; neither for a settled one."""
        if one.mark is not None:
            return UNPLANNED
        key = key_of(one)
        return Chosen(self._days.get(key), self._people.get(key))

"""Labels: what the label of each container says."""

from __future__ import annotations

from typing import Any

from ledger.report.routine import Routine


def labels_data(routine: Routine) -> dict[str, Any]:
    """What the template of labels prints."""
    return {
        "title": routine.household or "Labels",
        "labels": [
            {
                "title": one.title,
                "minutes": one.minutes,
                "chores": [chore.title for chore in one.chores],
            }
            for one in routine.containers
        ],
    }

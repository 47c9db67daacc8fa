"""The load ahead as tables: the days of the weeks, the heaviest days, and the months."""

from __future__ import annotations

from ledger.render.table import Table
from ledger.report.ahead import Ahead

DAYS = ("day", "minutes", "limit", "over", "away")
HEAVIEST = ("day", "minutes", "limit", "over", "chore", "takes", "first", "last", "late")
SPANS = ("first", "last", "minutes", "limit", "over", "days over")


def ahead_tables(ahead: Ahead) -> list[Table]:
    """The days of the weeks asked for, what is on the heaviest days, the weeks and the months."""
    last = ahead.weeks[-1].last
    days = [
        (day.day, day.minutes, day.limit, day.over, day.away is not None)
        for day in ahead.days
        if day.day <= last
    ]
    heaviest = [
        (*day[:4], task.chore, task.minutes, task.first, task.last, task.late)
        for day in ahead.heaviest
        for task in day.tasks
    ]
    return [
        Table(f"Days from {ahead.on} to {last}", DAYS, days),
        Table(f"Heaviest days until {ahead.until}", HEAVIEST, heaviest),
        Table("Weeks", SPANS, [tuple(week) for week in ahead.weeks]),
        Table("Months", SPANS, [tuple(month) for month in ahead.months]),
    ]

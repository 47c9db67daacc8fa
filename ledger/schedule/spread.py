"""Spread: a day for each window that leaves a choice of days."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ledger.schedule.load import Demand


def spread(
    demands: Sequence[Demand],
    limits: Mapping[int, int | None],
    low: int,
    high: int,
    taken: Mapping[int, int] | None = None,
) -> dict[Demand, int]:
    """A day from `low` to `high` for each window that closes by `high`.

    Windows of one day have no choice. The others are placed in order of closing, each on the
    day of its window that has the most room left, the earliest of equals; a day without a
    limit counts the minutes that are already on it. `taken` are minutes that stand on a day
    before any window is placed.
    """
    placed: dict[Demand, int] = {}
    minutes = {day: (taken or {}).get(day, 0) for day in range(low, high + 1)}
    choosy = []
    for demand in demands:
        if demand.last > high:
            continue
        if demand.first == demand.last or demand.last <= low:
            placed[demand] = max(demand.last, low)
            minutes[placed[demand]] += demand.minutes
        else:
            choosy.append(demand)
    for demand in sorted(choosy, key=lambda d: (d.last, -d.minutes, d.label)):
        days = range(max(low, demand.first), demand.last + 1)
        day = max(days, key=lambda day: (_room(limits.get(day), minutes[day]), -day))
        placed[demand] = day
        minutes[day] += demand.minutes
    return placed


def _room(limit: int | None, minutes: int) -> int:
    return -minutes if limit is None else limit - minutes

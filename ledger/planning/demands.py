"""Demands: what the windows of some days ask of them, for all that judge whether they fit."""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Chore, Household, Span
from ledger.planning.entries import Entry, entries_of_chore
from ledger.planning.load import Demand, limited_people


def demands_of(
    household: Household, chore: Chore, on: int, until: int
) -> Iterator[tuple[Entry, Demand]]:
    """What a chore asks of the days from one to another, by the record known up to the first; each
    with the window that it comes from.

    A window stands on the days from the first to the last on which it may be done. What was done
    on the first day stands there with its minutes. What is late and not `vital` is left out, since
    it may wait or be let go: no demand is more than a plan has.
    """
    if not any(line.minutes and not line.spare for line in chore.routines):
        return
    limited = frozenset(limited_people(household))
    for entry in entries_of_chore(household, chore, limited, on, on, until):
        span = _span(entry, on)
        if entry.minutes and span is not None:
            yield entry, Demand(*span, entry.minutes, chore.name, entry.own)


def _span(entry: Entry, on: int) -> Span | None:
    if entry.settled is None:
        return entry.span(on)
    return (on, on) if entry.occasion.state == "done" else None

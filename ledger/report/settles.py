"""Settles: what a new line of the record does to the windows of its chores."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from ledger.household.model import Household
from ledger.keeping.history import Share, shares_of
from ledger.keeping.occasion import Occasion, OutcomeKind
from ledger.text.tree import RecordEntry


class Effect(NamedTuple):
    """What a new line does to one chore."""

    chore: str
    windows: Sequence[Occasion]
    """The windows that it settles, moves or adds minutes to."""
    is_extra: bool
    """True if it finds no window of someone whom it speaks for."""
    shares: Sequence[Share]
    """The shares of the chore before the line."""
    minutes: int
    """The minutes that the line gives for the chore, 0 if none."""


class Settles(NamedTuple):
    """What a line did to a window of a chore, where that is not plain."""

    chore: str
    verb: str
    first: date | None
    last: date | None
    """The days of the window, a moved one on its new day; None where the line found none."""
    days_late: int = 0
    """Days past the window; below 0 for days before it, 0 in its days."""
    before: int = 0
    """Minutes worked on it before the line, where the line is timed."""
    in_all: int = 0
    """These, and the minutes of the line."""
    declared: int | None = None
    """Minutes that it should take, as the book says."""


def effects(household: Household, day: int, entry: RecordEntry) -> list[Effect]:
    """What a line does to each of its chores once the record has it."""
    log, line = household.log.with_line(day, entry)
    with_line = replace(household, log=log)
    found = []
    for name in dict.fromkeys(item.name.value for item in entry.items):
        chore = household.chores[name]
        before = shares_of(household, chore, day, day)
        worked = {_key(one): one.worked for share in before for one in share.occasions}
        after = shares_of(with_line, chore, day, day)
        windows = [
            one
            for share in after
            for one in share.occasions
            if any(mark is not None and mark.line == line for mark in (one.mark, one.moved))
            or (entry.verb == "worked" and one.worked != worked.get(_key(one), 0))
        ]
        is_extra = any(extra.line == line for share in after for extra in share.extras)
        found.append(Effect(name, windows, is_extra, before, sum(log.minutes(line, name))))
    return found


def _key(one: Occasion) -> tuple[str | None, int]:
    return one.person, one.opened


def settles(found: Sequence[Effect], day: int, verb: str) -> list[Settles]:
    """What a line of a day counts for, by its effects, each answer once. A chore done in its days
    is left out, unless it was timed after it was worked on."""
    return list(dict.fromkeys(answer for one in found for answer in _settles(one, day, verb)))


def _settles(effect: Effect, day: int, verb: str) -> Iterator[Settles]:
    for one in effect.windows:
        span = date.fromordinal(one.first), date.fromordinal(one.last)
        late = before = in_all = 0
        if verb == "did":
            late = {
                OutcomeKind.LATE: day - one.last,
                OutcomeKind.EARLY: day - one.first,
            }.get(one.fate or OutcomeKind.DONE, 0)
            before = one.worked if effect.minutes else 0
            if not (late or before):
                continue
            in_all = before + effect.minutes if before else 0
        elif verb == "worked":
            in_all, before = one.worked, one.worked - effect.minutes
        yield Settles(effect.chore, verb, *span, late, before, in_all, one.routine.minutes)
    if effect.is_extra:
        yield Settles(effect.chore, verb, None, None)

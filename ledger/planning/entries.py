"""Entries: the windows of a household that a plan of some days puts on them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from typing import NamedTuple

from ledger.calendar.presence import there
from ledger.calendar.week import MAX_DAY
from ledger.household.apart import pairs
from ledger.household.model import Chore, Household, Span
from ledger.household.things import is_dangerous
from ledger.keeping.history import Share, shares_of
from ledger.keeping.neglect import neglect
from ledger.keeping.occasion import Occasion, OutcomeKind
from ledger.keeping.turns import people_for
from ledger.planning.load import limited_people
from ledger.planning.work import Piece


class Entry(NamedTuple):
    """A window that was open, or opens, in the days of a plan."""

    occasion: Occasion
    closes: int
    """The last day on which it may be owed."""
    settled: int | None
    """The day on which it was settled, by the record."""
    minutes: int
    """Minutes left of it, of all who do it together."""
    own: tuple[tuple[str, int], ...]
    """The people with a limit who surely do it, and the minutes of each."""

    @property
    def is_after_done(self) -> bool:
        """True for a window that is owed until it is done: no other comes before."""
        return self.occasion.routine.section.is_after_done

    def days(self, low: int, late_until: int) -> tuple[int, ...]:
        """The days on which it may be done from a day on: those of its window on which it is asked,
        for turns only those on which its person is there, if there are any. If none is left, the
        days after it on which it may be owed, up to a day; of what is vital, or else, the next."""
        one = self.occasion
        first, last = max(one.first, low), one.last
        if first == last and one.first == last:
            return (first,)
        line = one.timeline.line_of(one.routine)
        days: Sequence[int] = range(first, last + 1)
        if not line.is_always_asked:
            days = [day for day in days if one.is_asked(day)]
        # Under `after done` a flag `expires` has no effect.
        if not days and (self.is_after_done or not one.routine.expires):
            # What is vital is not put off once it is late.
            until = min(self.closes, low if one.routine.vital else max(late_until, low))
            if one.routine.section.is_after_done:
                # The next is counted from the day of this: its day does not wait for it.
                until = min(until, low + one.routine.section.cadence.every - 1)
            days = [day for day in range(first, until + 1) if line.asked.holds(day)]
            following = None if days else line.asked.first(first)
            if following is not None and following <= self.closes:
                days = [following]
        return tuple(self._of_turn(days))

    def span(self, low: int) -> Span | None:
        """The first and the last of its days, from a day on. Only a `vital` one has days after its
        window, up to the last on which it may be owed: another can be let go. None if there is no
        day."""
        one = self.occasion
        span = one.asked_span(low)
        if span is None or span[0] > one.last:
            if not one.routine.vital or one.routine.expires:
                return None
            asked = one.timeline.line_of(one.routine).asked
            return asked.ends(max(one.first, low), self.closes)
        if span[0] < span[1] and one.routine.assignment.form == "then":
            days = self.days(low, low)
            return days[0], days[-1]
        return span

    def _of_turn(self, days: Sequence[int]) -> Sequence[int]:
        one = self.occasion
        if one.routine.assignment.form != "then" or one.person is not None or len(days) < 2:
            return days
        household = one.timeline.household
        key = "turn", one.chore, one.opened, one.mark
        (person,) = household.remember(key, lambda: people_for(one))
        present = there(household, person, one.routine.vital)
        return [day for day in days if present.holds(day)] or days

    def is_neglected(self, day: int) -> bool:
        """True if its chore was not done for several of its periods by a day."""
        return neglect(self.occasion.timeline, day) is not None

    def lateness(self, day: int) -> float:
        """How late it is on a day, over its period."""
        one = self.occasion
        late = one.timeline.line_of(one.routine).asked.count(one.last + 1, day)
        return late / one.period

    def piece(self, days: tuple[int, ...], day: int) -> Piece:
        """It as a piece of work for some of its days, on a day."""
        one = self.occasion
        is_late = one.last < day
        rank = (not one.routine.vital, -self.lateness(day)) if is_late else ()
        return Piece(days, one.first, self.minutes, self.own, one.chore, is_late, rank)


def entries_of(household: Household, low: int, on: int, high: int) -> list[Entry]:
    """The windows that somebody had to do, or has to, from day `low` to `high`, by a record known
    up to `on`: those still to be done, and from `low` on those that were settled or missed. Spare
    ones are left out."""
    limited = frozenset(limited_people(household))
    return [
        entry
        for chore in household.chores.values()
        for entry in entries_of_chore(household, chore, limited, low, on, high)
    ]


def entries_of_chore(
    household: Household, chore: Chore, limited: Set[str], low: int, on: int, high: int
) -> Iterator[Entry]:
    """As `entries_of`, for one chore; `limited` are the people with a limit."""
    for share in shares_of(household, chore, low, on):
        for one, closes, settled in _of_share(share, low, high):
            if not one.routine.spare:
                own = _own(one, limited) if limited else ()
                yield Entry(one, closes, settled, _minutes(one), own)


def _minutes(one: Occasion) -> int:
    return one.minutes * (one.routine.shares if one.person is None else 1)


def _own(one: Occasion, limited: Set[str]) -> tuple[tuple[str, int], ...]:
    """The people with a limit who surely do a window, and the minutes of each."""
    form, people = one.routine.assignment
    if one.person is not None:
        people = (one.person,)
    elif form == "any" and len(people) != 1:
        return ()
    if not any(name in limited for name in people):
        return ()
    if form == "then":
        people = people_for(one)
    return tuple((name, one.minutes) for name in people if name in limited)


def _of_share(share: Share, low: int, high: int) -> Iterator[tuple[Occasion, int, int | None]]:
    """The windows of a share with the last day on which each may be owed, and when it was
    settled."""
    for one in share.occasions:
        if one.mark is not None:
            if low <= one.mark.day <= share.on:
                yield one, share.closes_of(one), one.mark.day
        elif one is not share.owed and one.fate is OutcomeKind.MISSED:
            closes = share.closes_of(one)
            if closes >= low:
                yield one, closes, None
    for one in share.to_do(high):
        yield one, share.closes if one is share.owed else MAX_DAY, None


def apart_of(entries: Sequence[Entry], pieces: Sequence[Piece]) -> list[tuple[int, int]]:
    """The indices of windows that must not be done on one day."""
    some = [
        number
        for number, entry in enumerate(entries)
        if any(map(is_dangerous, entry.occasion.routine.things))
    ]
    if len(some) < 2:
        return []
    routines = [entries[number].occasion.routine for number in some]
    spans = [(pieces[number].days[0], pieces[number].days[-1]) for number in some]
    return [
        (some[pair.one], some[pair.other])
        for pair in pairs(routines, spans)
        if pair.one != pair.other
    ]


def after_of(entries: Sequence[Entry], pieces: Sequence[Piece]) -> list[tuple[int, int]]:
    """The indices of windows of which one comes before the other, where their days leave a choice:
    the first of the two has several days."""
    followers = [
        (number, name)
        for number, entry in enumerate(entries)
        for name in entry.occasion.routine.after
    ]
    wanted = {name for _, name in followers}
    by_chore: dict[str, list[int]] = {}
    for number, piece in enumerate(pieces):
        if piece.label in wanted and piece.days[-1] > piece.opens:
            by_chore.setdefault(piece.label, []).append(number)
    return [
        (earlier, later)
        for later, name in followers
        for earlier in by_chore.get(name, ())
        if pieces[earlier].opens <= pieces[later].days[-1]
        and pieces[later].days[0] < pieces[earlier].days[-1]
        and _are_of_one(entries[earlier].occasion.person, entries[later].occasion.person)
    ]


def _are_of_one(one: str | None, other: str | None) -> bool:
    """True for shares of one person; work that is not shared out concerns all."""
    return one is None or other is None or one == other

"""Plan: the day of each window, one plan for all reports.

A plan is made on the first day of a week, for that week with five weeks in sight, and then goes
from day to day: what was done as planned, or was not, is seen from the record. While all goes as
planned, the rest of the plan stays as it is; else what was left behind gets new days, and no more
moves than must.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from functools import partial
from typing import NamedTuple

from ledger.calendar.week import MAX_DAY, week_first
from ledger.household.model import Household, Routine
from ledger.household.things import is_dangerous
from ledger.keeping.occasion import Occasion
from ledger.keeping.turns import done_by
from ledger.planning.board import Board
from ledger.planning.entries import Entry, after_of, apart_of, entries_of
from ledger.planning.load import limit_on, person_limit
from ledger.planning.moves import move_all
from ledger.planning.place import least_of, polish, put_all
from ledger.planning.work import Problem, Score

WEEK = 7
WITHIN = (0, 0)
"""The places of a score for limits where all are kept."""
IN_SIGHT = 5 * WEEK
"""Days that a plan looks at: the longest windows but those of `once` are a month long."""


Key = tuple[str, str | None, int]
"""What identifies a window: its chore, whose share it is, and the day it opened."""


def key_of(one: Occasion) -> Key:
    """What identifies a window."""
    return one.chore, one.person, one.opened


class Planned(NamedTuple):
    """A window and the day that it is planned for."""

    entry: Entry
    day: int


class Plan(NamedTuple):
    """The days of the windows still to be done, from a day on, with those settled on that day."""

    on: int
    """The day."""
    planned: tuple[Planned, ...]
    days: Mapping[Key, int]
    """The same by what identifies a window."""
    let_go: tuple[Entry, ...]
    """Late windows that do not fit within the limits, and come round again soon."""


def plan_of(household: Household, on: int) -> Plan:
    """The plan of a day, by the record up to that day."""
    return household.remember(("plan", on), lambda: _plan(household, on))


def _plan(household: Household, on: int) -> Plan:
    monday = week_first(on, household.week_start)
    last = min(monday + IN_SIGHT - 1, MAX_DAY)
    week = _Days(household, entries_of(household, monday, on, last), monday, last)
    begun = False
    for day in range(monday, on + 1):
        if day < on and week.was_left(day):
            continue
        if begun:
            week.go_on(day)
        else:
            week.begin(day, range(len(week.entries)))
            begun = True
        week.settle(day)
    return week.plan(on)


def rolled(household: Household, on: int, until: int) -> Iterator[Planned]:
    """The days of the windows from a day on, week after week, if all is done as planned."""
    monday = week_first(on, household.week_start)
    last = min(until + IN_SIGHT, MAX_DAY)
    end = min(monday + WEEK - 1, until)
    done = [one for one in plan_of(household, on).planned if one.day <= end]
    yield from done
    kept = {key_of(one.entry.occasion) for one in done}
    entries = [one for one in entries_of(household, monday, on, last) if one.settled is None]
    coming = sorted(range(len(entries)), key=lambda n: -entries[n].occasion.first)
    some: list[int] = []
    for first in range(monday + WEEK, until + 1, WEEK):
        last = min(first + IN_SIGHT - 1, MAX_DAY)
        while coming and entries[coming[-1]].occasion.first <= last:
            some.append(coming.pop())
        # In the order in which the plan of that week has them, which decides between equal days.
        some = sorted(
            n for n in some if entries[n].closes > end and key_of(entries[n].occasion) not in kept
        )
        open_ones = [entries[n] for n in some]
        week = _Days(household, open_ones, first, last)
        week.begin(first, range(len(open_ones)))
        end = min(first + WEEK - 1, until)
        done = [Planned(open_ones[n], day) for n, day in week.day_of.items() if day <= end]
        yield from done
        kept = {key_of(one.entry.occasion) for one in done}


def least_within(household: Household, on: int, last: int) -> Score:
    """How good the days from one to another can be for what is planned on them and still to be
    done: a bound for each place of the score."""
    week = _Days(household, (), on, last)
    inside = []
    for entry, day in plan_of(household, on).planned:
        if day <= last:
            days = (day,) if entry.settled else entry.days(on, last)
            inside.append((entry, tuple(one for one in days if one <= last) or (day,)))
    board = Board(week.problem(on, inside))
    for number, (_, day) in enumerate(
        one for one in plan_of(household, on).planned if one.day <= last
    ):
        board.put(number, day - on)
    return least_of(board)


def proposals(household: Household, on: int) -> Mapping[Key, str]:
    """Whom the plan of a day proposes for the windows of its week that one of several people may
    do."""

    def work_out() -> Mapping[Key, str]:
        from ledger.planning.doers import Doing, proposed

        monday = week_first(on, household.week_start)
        week = range(monday, monday + WEEK)
        settled = (
            (entry.occasion, entry.settled)
            for entry in entries_of(household, monday, on, on)
            if entry.settled is not None and entry.settled < on
        )
        planned = ((one.entry.occasion, one.day) for one in plan_of(household, on).planned)
        doings = [Doing(one, day, done_by(one)) for one, day in (*settled, *planned) if day in week]
        # Where the record does not say who did it, the person proposed is taken to have done it.
        found = (
            (doings[n].occasion, name) for n, name in proposed(household, doings, week).items()
        )
        return {key_of(one): name for one, name in found if one.mark is None}

    return household.remember(("proposals", on), work_out)


def _is_tied(routine: Routine, wide: Set[str]) -> bool:
    """True if the day of a window matters for that of another; `wide` has the chores with windows
    that may have several days."""
    return any(map(is_dangerous, routine.things)) or not wide.isdisjoint(routine.after)


class _Days:
    """The days of a plan, from the first day of its week on."""

    def __init__(
        self, household: Household, entries: Sequence[Entry], monday: int, last: int
    ) -> None:
        self.household, self.entries = household, entries
        self.monday, self.last = monday, last
        self.late_until = min(monday + 2 * WEEK - 1, last)
        """By this day a careful person has caught up: the end of next week."""
        self.day_of: dict[int, int] = {}
        self.let_go: list[int] = []
        self._limits: dict[str | None, list[int | None]] = {}

    def was_left(self, day: int) -> bool:
        """True for a day on which nothing was done, though something had no other day: whatever
        was planned on it, the plan begins anew on the next."""
        left = False
        for entry in self.entries:
            if entry.settled == day:
                return False
            one = entry.occasion
            left = left or (one.first == one.last == day and entry.settled is None)
        return left

    def begin(self, day: int, numbers: Iterable[int]) -> None:
        """Plan windows on the first day of the week, or on a later one."""
        some = (n for n in numbers if not self._was_settled(n, day))
        self._place(day, some, {})

    def _was_settled(self, number: int, day: int) -> bool:
        settled = self.entries[number].settled
        return settled is not None and settled < day

    def go_on(self, day: int) -> None:
        """Go on to a day: what the record does not have done by then, though it was planned, gets
        another day."""
        left: dict[int, int] = {}
        behind: list[int] = []
        for number, planned in self.day_of.items():
            if self._was_settled(number, day):
                continue
            if planned >= day:
                left[number] = planned
            elif day <= self.entries[number].closes:
                behind.append(number)
        self.day_of = left
        if behind:
            self._place(day, [*left, *behind], left)

    def settle(self, day: int) -> None:
        """Put what was done on a day on that day, and take off what was skipped. If something had
        another day, the room it leaves there is used, and what it takes here gives way."""
        settled = [n for n, entry in enumerate(self.entries) if entry.settled == day]
        done = {n: day for n in settled if self.entries[n].occasion.state == "done"}
        for number in settled:
            if number not in done:
                self.day_of.pop(number, None)
        is_as_planned = all(self.day_of.get(number) == day for number in done)
        self.day_of.update(done)
        if not is_as_planned:
            self._place(day, list(self.day_of), dict(self.day_of), done.keys())

    def plan(self, on: int) -> Plan:
        """The plan as it stands on a day."""
        planned = tuple(Planned(self.entries[n], day) for n, day in sorted(self.day_of.items()))
        let_go = (self.entries[number] for number in self.let_go)
        return Plan(
            on,
            planned,
            {key_of(one.entry.occasion): one.day for one in planned},
            tuple(entry for entry in let_go if entry.settled is None and on <= entry.closes),
        )

    def _place(
        self,
        day: int,
        numbers: Iterable[int],
        kept: Mapping[int, int],
        done: Set[int] = frozenset(),
    ) -> None:
        """Give windows their days, on a day; those that have one keep it where that is no worse,
        and what was done on the day stays there."""
        sure, days_of = self._parted(day, (n for n in numbers if n not in done))
        days_of.update(dict.fromkeys(done, (day,)))
        while True:
            some = list(days_of)
            problem = self.problem(day, [(self.entries[n], days_of[n]) for n in some], sure)
            board = Board(problem)
            have = {
                place: kept[n] - day for place, n in enumerate(some) if kept.get(n) in days_of[n]
            }
            for place, its_day in have.items():
                board.put(place, its_day)
            put_all(board, (place for place in range(len(some)) if place not in have))
            move_all(board, board.late)
            # Where no choice of days can be within the limits, one window gives way at a time.
            if least_of(board)[2:4] != WITHIN and self._give_way(day, board, some, days_of, 1):
                continue
            polish(board, bool(have))
            if not self._give_way(day, board, some, days_of, len(some)):
                break
        self.day_of = {n: self.entries[n].occasion.first for n in sure}
        self.day_of.update(zip(some, board.ordinals(), strict=True))

    def _parted(
        self, day: int, numbers: Iterable[int]
    ) -> tuple[list[int], dict[int, tuple[int, ...]]]:
        """Windows of one day that nothing ties to others; and the days of each of the rest, if it
        has any that the plan looks at."""
        days_of: dict[int, tuple[int, ...]] = {}
        single: list[int] = []
        for number in numbers:
            entry = self.entries[number]
            days = entry.days(day, self.late_until)
            if days and days[-1] <= self.last:
                days_of[number] = days
                if day <= entry.occasion.first == entry.occasion.last:
                    single.append(number)
        wide = {
            self.entries[number].occasion.chore for number, days in days_of.items() if len(days) > 1
        }
        sure = [n for n in single if not _is_tied(self.entries[n].occasion.routine, wide)]
        for number in sure:
            del days_of[number]
        return sure, days_of

    def _give_way(
        self,
        day: int,
        board: Board,
        some: Sequence[int],
        days_of: dict[int, tuple[int, ...]],
        most: int,
    ) -> bool:
        """Where days are over a limit, let late windows on them give way, the last in rank first:
        one that comes round again soon is let go, another may have later days; `most` of them at
        once. True if any did."""
        gone = {self.entries[number].occasion.chore for number in self.let_go}
        is_crowded = board.score()[2:4] != WITHIN
        changed = 0
        for place in reversed(board.late):
            number = some[place]
            entry = self.entries[number]
            routine = entry.occasion.routine
            # What comes after something that is let go goes with it.
            follows = not gone.isdisjoint(routine.after)
            must_stay = routine.vital or entry.is_after_done
            if must_stay or not (follows or (is_crowded and board.is_over(place))):
                continue
            comes_again = entry.closes < MAX_DAY and entry.closes <= self.late_until
            if comes_again and not entry.is_neglected(day):
                self.let_go.append(number)
                del days_of[number]
            elif follows or (later := entry.days(day, self.last)) == days_of[number]:
                continue
            else:
                days_of[number] = later
            board.take(place)
            changed += 1
            if changed == most:
                break
        return changed > 0

    def _limits_from(self, day: int, person: str | None) -> list[int | None]:
        """The limits of the household or of a person, from a day on."""
        if person not in self._limits:
            days = range(self.monday, self.last + 1)
            self._limits[person] = [
                self.household.remember(("limit", person, one), partial(self._limit, person, one))
                for one in days
            ]
        return self._limits[person][day - self.monday :]

    def _limit(self, person: str | None, day: int) -> int | None:
        if person is None:
            return limit_on(self.household, day)
        return person_limit(self.household, person, day)

    def problem(
        self, day: int, some: Sequence[tuple[Entry, tuple[int, ...]]], sure: Iterable[int] = ()
    ) -> Problem:
        """Windows with the days that each may have, as work for the days from one on, beside those
        that have only one."""
        entries = [entry for entry, _ in some]
        pieces = [entry.piece(days, day) for entry, days in some]
        limited = {of.person for of in self.household.limits}
        people = [name for name in self.household.people if name in limited]
        taken = [0] * (self.last - day + 1)
        taken_by = {name: list(taken) for name in people}
        for number in sure:
            entry = self.entries[number]
            place = entry.occasion.first - day
            taken[place] += entry.minutes
            for name, minutes in entry.own:
                taken_by[name][place] += minutes
        return Problem(
            pieces,
            day,
            self._limits_from(day, None),
            {name: self._limits_from(day, name) for name in people},
            apart_of(entries, pieces),
            after_of(entries, pieces),
            taken,
            taken_by,
        )
